import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { leftSays } from '@/lib/cost-centre/budget.ts'
import type { WinterBudgets } from '@/lib/db/winter-budget.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import styles from './budgets.module.css'

type Row = WinterBudgets['rows'][number]

export function BudgetTable({ rows, currency }: { rows: readonly Row[]; currency: string }) {
  const money = (minor: number) => moneyFormat(minor, currency)
  const sum = (of: (row: Row) => number) => rows.reduce((all, row) => all + of(row), 0)
  const amounts = (of: (pick: (row: Row) => number) => number, budget: string) => (
    <>
      <td className="right" data-label="Budget">
        {budget}
      </td>
      <td className="right" data-label="Planned">
        {money(of((row) => row.planned))}
      </td>
      <td className="right" data-label="In drafts">
        {money(of((row) => row.drafts))}
      </td>
      <td className="right" data-label="On order">
        {money(of((row) => row.onOrder))}
      </td>
      <td className="right" data-label="Received">
        {money(of((row) => row.received))}
      </td>
    </>
  )
  return (
    <table className={`parts fold ${styles.table}`}>
      <caption className="visually-hidden">Budgets by cost centre</caption>
      <thead>
        <tr>
          <th scope="col">Cost centre</th>
          {['Budget', 'Planned', 'In drafts', 'On order', 'Received'].map((what) => (
            <th scope="col" className="right" key={what}>
              {what}
            </th>
          ))}
          <th scope="col">Left</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.centreId ?? 0}>
            <td className="wide">
              {row.centre === null ? (
                'No cost centre'
              ) : (
                <Link href={paths.costCentre(row.centre.id)} prefetch={false}>
                  <span className="number">{row.centre.code}</span> {row.centre.name}
                </Link>
              )}
            </td>
            {amounts((pick) => pick(row), row.budgetMinor === null ? 'none' : money(row.budgetMinor))}
            <td className="wide">
              {row.centre === null ? (
                <span className="soft">what machines without one need, and what only failures take</span>
              ) : (
                <span className={row.leftMinor !== null && row.leftMinor < 0 ? 'strong' : undefined}>
                  {row.leftMinor !== null && row.leftMinor < 0 ? <span aria-hidden="true">▲ </span> : null}
                  {leftSays(row, currency)}
                </span>
              )}
            </td>
          </tr>
        ))}
        <tr>
          <td className="wide strong">Together</td>
          {amounts(sum, money(sum((row) => row.budgetMinor ?? 0)))}
          <td className="wide" />
        </tr>
      </tbody>
    </table>
  )
}
