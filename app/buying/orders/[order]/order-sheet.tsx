import Link from 'next/link'
import styles from '@/app/buying/buying.module.css'
import { DepositBeside } from '@/app/buying/deposit-beside.tsx'
import { TotalsFoot } from '@/app/buying/totals-foot.tsx'
import { paths } from '@/app/paths.ts'
import { letterTotals } from '@/lib/buying/order-letter.ts'
import { counted } from '@/lib/measure/counted.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import type { OrderView } from './order-read.ts'

type Sheet = Pick<OrderView, 'lines' | 'currency' | 'carriageMinor' | 'taxThousandths'>

/** The lines as they were ordered: on paper the order sheet, on the screen with what came of each. */
export function OrderSheet({ order }: { order: Sheet }) {
  const { lines, currency } = order
  return (
    <>
      <table className="parts fold">
        <caption className="visually-hidden">Lines of the order</caption>
        <thead>
          <tr>
            <th scope="col">Line</th>
            <th scope="col">Part number, supplier’s number</th>
            <th scope="col">Description</th>
            <th scope="col" className="right">
              Quantity
            </th>
            <th scope="col" className="right">
              Price
            </th>
            <th scope="col" className="right">
              Cost
            </th>
            <th scope="col" className="no-print">
              Came
            </th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line, at) => (
            <tr key={line.id}>
              <td>{at + 1}</td>
              <td>
                <Link href={paths.part(line.partId)} className="number" prefetch={false}>
                  {line.number}
                </Link>
                {line.supplierNumber ? (
                  <>
                    <br />
                    <span className="number small">
                      <span className="visually-hidden">supplier’s number </span>
                      {line.supplierNumber}
                    </span>
                  </>
                ) : null}
              </td>
              <td className={`wide ${styles.why}`}>
                {line.description} <span className="soft small">{line.maker}</span>
                {line.reason === '' ? null : (
                  <span className="no-print">
                    <br />
                    <span className={styles.reason}>{line.reason}</span>
                  </span>
                )}
              </td>
              <td className="right">
                <span className="strong">{quantityFormat(line.quantity, line.unit)}</span>
                <Packs line={line} />
              </td>
              <td className={`right ${styles.price}`} data-label="Price">
                {moneyFormat(line.priceMinor, currency)}
                {line.unit === 'each' ? null : <span className="soft small"> a {line.unit}</span>}
                <DepositBeside depositMinor={line.depositMinor} currency={currency} />
              </td>
              <td className={`right ${styles.money}`} data-label="Cost">
                {moneyFormat(line.costMinor, currency)}
              </td>
              <td className="no-print wide" data-label="Came">
                {cameSays(line)}
                <LineDay line={line} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <TotalsFoot totals={letterTotals(order)} currency={currency} />
    </>
  )
}

/** In how many packs the quantity comes, where it is sold in packs and fills them. */
function Packs({ line: { quantity, pack, unit } }: { line: OrderView['lines'][number] }) {
  if (pack === null || pack === 1 || quantity % pack !== 0) return null
  const packs = quantity / pack
  return (
    <span className="small">
      <br />
      {counted(packs, 'pack')} of {quantityFormat(pack, unit)}
    </span>
  )
}

/** The day a line that is still due was confirmed for, and what was promised since. */
function LineDay({ line: { due, confirmedOn, promisedOn } }: { line: OrderView['lines'][number] }) {
  if (due === 0 || (confirmedOn ?? promisedOn) === null) return null
  return (
    <span className="small">
      <br />
      {confirmedOn === null ? 'not confirmed' : `confirmed for ${dateSays(confirmedOn)}`}
      {promisedOn === null ? null : `, promised for ${dateSays(promisedOn)}`}
    </span>
  )
}

/** What became of a line: "■ all", "◧ 4, 2 due", "☐ nothing yet", with what was cancelled. */
function cameSays({ received, due, cancelled, unit }: OrderView['lines'][number]): string {
  const gone = cancelled > 0 ? `, ${quantityFormat(cancelled, unit)} cancelled` : ''
  if (due === 0 && received === 0) return `✕ nothing${gone}`
  if (due === 0) return cancelled === 0 ? '■ all' : `■ ${quantityFormat(received, unit)}${gone}`
  if (received === 0) return `☐ nothing yet${gone}`
  return `◧ ${quantityFormat(received, unit)}, ${quantityFormat(due, unit)} due${gone}`
}
