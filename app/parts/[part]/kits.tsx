import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { kitHintsFor, partKits } from '@/lib/db/kit.ts'
import type { PartCard } from '@/lib/db/part.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { settingsRead } from '@/lib/settings.ts'

/** What the part holds as a kit, and the kits that hold it. What lies inside kits is told apart from what lies loose. */
export async function Kits({ part }: { part: PartCard }) {
  const { contents, inKits } = await partKits(part.id)
  if (contents.length === 0 && inKits.length === 0) return null
  const [whole] = (await kitHintsFor(contents)).filter((hint) => hint.kit.kitId === part.id)
  const { currency } = settingsRead()
  return (
    <section className="stack tight" aria-labelledby="kits">
      <h2 id="kits">{contents.length > 0 ? 'Kit contents' : 'In kits'}</h2>
      {contents.length > 0 ? (
        <>
          <table className="parts fold">
            <thead>
              <tr>
                <th scope="col">Part</th>
                <th scope="col">Description</th>
                <th scope="col" className="right">
                  In one kit
                </th>
                <th scope="col" className="right">
                  Loose on shelf
                </th>
              </tr>
            </thead>
            <tbody>
              {contents.map((content) => (
                <tr key={content.partId}>
                  <td>
                    <Link href={paths.part(content.partId)} className="number" prefetch={false}>
                      {content.number}
                    </Link>
                  </td>
                  <td>{content.description}</td>
                  <td className="right" data-label="in one kit">
                    {quantityFormat(content.quantity, content.unit)}
                  </td>
                  <td className="right" data-label="loose">
                    {quantityFormat(content.onHand, content.unit)}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
          <p className="small soft">
            {part.stock.onHand === 0
              ? 'No kit on the shelf.'
              : `${quantityFormat(part.stock.onHand, part.unit)} whole on the shelf; what is inside is not counted as loose.`}
            {whole
              ? ` Contents bought singly ${moneyFormat(whole.singlyMinor, currency)}, as kit ${moneyFormat(whole.asKitMinor, currency)}.`
              : ''}
          </p>
        </>
      ) : null}
      {inKits.length > 0 ? (
        <>
          {contents.length > 0 ? <h3>In kits</h3> : null}
          <ul className="plain-list">
            {inKits.map((kit) => (
              <li key={kit.kitId}>
                {quantityFormat(kit.quantity, part.unit)} in kit{' '}
                <Link href={paths.part(kit.kitId)} className="number" prefetch={false}>
                  {kit.number}
                </Link>{' '}
                {kit.description}:{' '}
                {kit.onHand === 0
                  ? 'no kit on the shelf'
                  : `${kit.onHand} on the shelf, so ${quantityFormat(kit.onHand * kit.quantity, part.unit)} more inside (not counted as loose)`}
              </li>
            ))}
          </ul>
        </>
      ) : null}
    </section>
  )
}
