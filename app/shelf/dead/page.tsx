import type { Metadata } from 'next'
import Link from 'next/link'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { type PageQuery, queryId } from '@/app/_parts/query.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type DeadRow, deadStock } from '@/lib/db/dead-stock.ts'
import { storesList } from '@/lib/db/shelf.ts'
import { counted } from '@/lib/measure/counted.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { settingsRead } from '@/lib/settings.ts'
import { DEAD_ADVICE, DEAD_REASONS } from '@/lib/stock/dead.ts'
import styles from './dead.module.css'
import { DeadFilter } from './filter.tsx'
import { deadAddress, deadChosen, deadQuestion } from './question.ts'

export const metadata: Metadata = { title: 'Slow and dead stock' }

const PAGE_ROWS = 50

export default async function DeadStockPage({ searchParams }: { searchParams: PageQuery }) {
  await signedIn()
  const asked = await searchParams
  const question = deadQuestion(asked)
  const page = queryId(asked.page) ?? 1
  const [all, stores] = await Promise.all([deadStock(question), storesList()])
  const rows = deadChosen(all, question)
  const { currency } = settingsRead()
  const total = rows.reduce((sum, row) => sum + row.valueMinor, 0)
  const address = deadAddress(question)
  const shown = rows.slice((page - 1) * PAGE_ROWS, page * PAGE_ROWS)
  return (
    <main className="page" id="page">
      <PageHead up={paths.shelf()} from="Shelf" title="Slow and dead stock">
        <nav className="row no-print" aria-label="Take along">
          <a className="button" href={paths.deadStockCsv(address)}>
            CSV
          </a>
        </nav>
      </PageHead>
      <div className="stack">
        <DeadFilter question={question} stores={stores} />
        {rows.length === 0 ? (
          <p className="empty">Nothing on the shelf answers that.</p>
        ) : (
          <>
            <p>
              {counted(rows.length, 'part')} worth <strong>{moneyFormat(total, currency)}</strong>.{' '}
              <span className="soft">What is kept for open jobs is left out.</span>
            </p>
            <Rows rows={shown} currency={currency} />
          </>
        )}
        {page > 1 || rows.length > page * PAGE_ROWS ? (
          <nav className="row" aria-label="Pages">
            {page > 1 ? (
              <Link className="button" href={paths.deadStock({ ...address, page: page - 1 })} prefetch={false}>
                Page {page - 1}
              </Link>
            ) : null}
            <span>Page {page}</span>
            {rows.length > page * PAGE_ROWS ? (
              <Link className="button" href={paths.deadStock({ ...address, page: page + 1 })} prefetch={false}>
                Page {page + 1}
              </Link>
            ) : null}
          </nav>
        ) : null}
      </div>
    </main>
  )
}

function Rows({ rows, currency }: { rows: readonly DeadRow[]; currency: string }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Parts, the dearest first</caption>
      <thead>
        <tr>
          <th scope="col">Part</th>
          <th scope="col">Where</th>
          <th scope="col" className="right">
            How many
          </th>
          <th scope="col" className="right">
            Worth
          </th>
          <th scope="col">Why</th>
          <th scope="col">What to do</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.partId}>
            <td className="wide">
              <Link href={paths.part(row.partId)} prefetch={false}>
                <span className="number">{row.number}</span>
              </Link>{' '}
              {row.description}
            </td>
            <td className="wide" data-label="Where">
              {row.stores
                .filter((one) => one.quantity > 0)
                .map((one) => `${one.store}: ${quantityFormat(one.quantity, row.unit)}`)
                .join(', ')}
            </td>
            <td className="right wide" data-label="How many">
              {quantityFormat(row.quantity, row.unit)}
            </td>
            <td className={`right wide ${styles.money}`} data-label="Worth">
              {moneyFormat(row.valueMinor, currency)}
            </td>
            <td className="wide">
              {reasonsSay(row)}
              <br />
              <span className="soft small">
                {row.lastMovedOn === null ? 'Never moved' : `Last moved ${dateSays(row.lastMovedOn)}`},{' '}
                {row.usedYear === 0 ? 'none' : quantityFormat(row.usedYear, row.unit)} used in a year
              </span>
            </td>
            <td className="wide">
              <span className="strong">{DEAD_ADVICE[row.advice]}</span>
              <br />
              <span className="small">{row.says}</span>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** The reasons as one phrase: "Not moved, no machine in use". */
function reasonsSay({ reasons }: DeadRow): string {
  const [first = '', ...more] = reasons.map((reason) => DEAD_REASONS[reason])
  return [first, ...more.map((one) => one.toLowerCase())].join(', ')
}
