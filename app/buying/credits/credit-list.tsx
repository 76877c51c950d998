import Link from 'next/link'
import { Fragment } from 'react'
import { When } from '@/app/_parts/when.tsx'
import styles from '@/app/buying/buying.module.css'
import { paths } from '@/app/paths.ts'
import type { CreditListed } from '@/lib/db/credit-read.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { CreditStateSays } from './credit-state.tsx'

/** The last credit notes of all suppliers; nothing where there is none. */
export function CreditList({ rows }: { rows: readonly CreditListed[] }) {
  if (rows.length === 0) return null
  return (
    <section className="stack tight" aria-labelledby="credits">
      <h2 id="credits">Credit notes</h2>
      <table className="parts fold">
        <caption className="visually-hidden">Credit notes, newest first</caption>
        <thead>
          <tr>
            <th scope="col">Credit note</th>
            <th scope="col">Supplier, invoice</th>
            <th scope="col">For</th>
            <th scope="col">Stands</th>
            <th scope="col">Dated</th>
            <th scope="col" className="right">
              Total
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.id}>
              <td className="number">
                <Link href={paths.credit(row.id)} prefetch={false}>
                  {row.number}
                </Link>
              </td>
              <td className="wide">
                {row.supplier.name}
                {row.invoices.map(({ id, number }) => (
                  <Fragment key={id}>
                    ,{' '}
                    <Link href={paths.invoice(id)} prefetch={false}>
                      invoice {number}
                    </Link>
                  </Fragment>
                ))}
              </td>
              <td className="wide" data-label="For">
                {row.reasons.join('; ')}
              </td>
              <td className="wide" data-label="Stands">
                <CreditStateSays state={row.state} />
              </td>
              <td className={`wide ${styles.money}`} data-label="Dated">
                <When at={row.day} />
              </td>
              <td className={`right wide ${styles.money}`} data-label="Total">
                {moneyFormat(row.totalMinor, row.currency)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
