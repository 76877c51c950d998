import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { MovementWhy, movementSigned } from '@/app/_parts/movement-why.tsx'
import { type PageQuery, queryId } from '@/app/_parts/query.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type PartLedgerLine, partLedgerHead, partLedgerPage, partStockLine } from '@/lib/db/part-ledger.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { MOVEMENT_KINDS } from '@/lib/stock/movement.ts'
import { StockPicture } from './stock-picture.tsx'

export const metadata = { title: 'Ledger of a part' }

/** Years the picture can show. */
const YEARS = [1, 2, 3, 5] as const

export default async function PartLedgerScreen(props: { params: Promise<{ part: string }>; searchParams: PageQuery }) {
  await signedIn()
  const partId = idOf((await props.params).part)
  const asked = await props.searchParams
  const beforeId = queryId(asked.before)
  const wished = queryId(asked.years)
  const years = YEARS.find((one) => one === wished) ?? 1
  const part = await found(partLedgerHead(partId))
  const to = todayIs()
  const from = `${Number(to.slice(0, 4)) - years}${to.slice(4).replace('-02-29', '-02-28')}`
  const [{ rows, more }, line] = await Promise.all([partLedgerPage(partId, beforeId), partStockLine(partId, from, to)])
  const oldest = rows.at(-1)
  return (
    <main className="page stack" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.part(partId)} prefetch={false}>
              <span className="number">{part.number}</span> {part.description}
            </Link>
          </p>
          <h1>What came and went</h1>
        </div>
        <a className="button" href={paths.movementsCsv({ part: partId })}>
          CSV
        </a>
      </header>
      <section className="stack tight" aria-labelledby="picture">
        <div className="row spread">
          <h2 id="picture">On hand over time</h2>
          <nav className="row" aria-label="How far back">
            {YEARS.map((one) => (
              <Link
                key={one}
                className={one === years ? 'button' : 'button quiet'}
                aria-current={one === years ? 'true' : undefined}
                href={paths.partLedger(partId, { years: one })}
                prefetch={false}
              >
                {one} {one === 1 ? 'year' : 'years'}
              </Link>
            ))}
          </nav>
        </div>
        <StockPicture line={line} unit={part.unit} level={part.level} from={from} to={to} />
      </section>
      <section className="stack tight" aria-labelledby="lines">
        <h2 id="lines">Every movement, newest first</h2>
        {rows.length === 0 ? (
          <p className="empty">
            Nothing moved {beforeId === null ? 'yet' : 'before that'}. The first line is written when the part is{' '}
            <Link href={paths.receive({ part: partId })}>received</Link>.
          </p>
        ) : (
          <Lines rows={rows} />
        )}
        <nav className="row" aria-label="Pages">
          {beforeId === null ? null : (
            <Link className="button" href={paths.partLedger(partId, { years })} prefetch={false}>
              Newest
            </Link>
          )}
          {more && oldest ? (
            <Link className="button" href={paths.partLedger(partId, { years, before: oldest.id })} prefetch={false}>
              Older
            </Link>
          ) : null}
        </nav>
      </section>
    </main>
  )
}

function Lines({ rows }: { rows: readonly PartLedgerLine[] }) {
  return (
    <table className="parts fold">
      <thead>
        <tr>
          <th scope="col">When</th>
          <th scope="col">What</th>
          <th scope="col" className="right">
            How many
          </th>
          <th scope="col" className="right">
            On hand then
          </th>
          <th scope="col">Who, why</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.id}>
            <td className="wide">
              <When at={row.at} time />
            </td>
            <td>
              {MOVEMENT_KINDS[row.kind].says}, bin{' '}
              <Link href={paths.bin(row.binId)} prefetch={false}>
                {row.bin}
              </Link>
            </td>
            <td className="right">{movementSigned(row)}</td>
            <td className="right" data-label="on hand then">
              {quantityFormat(row.onHandAfter, row.unit)}
            </td>
            <td className="wide">
              <MovementWhy row={row} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
