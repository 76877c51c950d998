import Link from 'next/link'
import styles from '@/app/buying/buying.module.css'
import { paths } from '@/app/paths.ts'
import type { InvoiceView } from '@/lib/db/invoice-read.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'

/** The lines of an invoice beside what came and what was agreed. */
export function InvoiceLines({ invoice: { lines, currency, orders } }: { invoice: InvoiceView }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Lines of the invoice</caption>
      <thead>
        <tr>
          <th scope="col">Part number</th>
          <th scope="col">Description</th>
          <th scope="col" className="right">
            Invoiced
          </th>
          <th scope="col" className="right">
            Came
          </th>
          <th scope="col" className="right">
            Price
          </th>
          <th scope="col" className="right">
            Agreed
          </th>
          <th scope="col" className="right">
            Cost
          </th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <tr key={line.lineId}>
            <td>
              <Link href={paths.part(line.partId)} className="number" prefetch={false}>
                {line.number}
              </Link>
            </td>
            <td className={`wide ${styles.why}`}>
              {line.description}
              {orders.length === 1 ? null : <div className="small">order {line.order}</div>}
            </td>
            <td className="right" data-label="Invoiced">
              <span className="strong">{quantityFormat(line.invoiced.quantity, line.unit)}</span>
            </td>
            <td className="right wide" data-label="Came">
              {quantityFormat(line.came, line.unit)}
              {line.before > 0 ? (
                <div className="small">{quantityFormat(line.before, line.unit)} on an earlier invoice</div>
              ) : null}
              {line.damaged > 0 ? (
                <div className="small">{quantityFormat(line.damaged, line.unit)} of it damaged</div>
              ) : null}
            </td>
            <td className={`right ${styles.price}`} data-label="Price">
              {moneyFormat(line.invoiced.priceMinor, currency)}
            </td>
            <td className={`right ${styles.money}`} data-label="Agreed">
              {moneyFormat(line.priceMinor, currency)}
            </td>
            <td className={`right ${styles.money}`} data-label="Cost">
              {moneyFormat(line.costMinor, currency)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
