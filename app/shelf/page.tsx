import type { Metadata } from 'next'
import Link from 'next/link'
import { MoreLinks } from '@/app/_parts/more-links.tsx'
import { type PageQuery, queryId } from '@/app/_parts/query.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { savedViews } from '@/lib/db/saved-view.ts'
import { storesList } from '@/lib/db/shelf.ts'
import { stockTableExtent, stockTableRows, TABLE_ROWS } from '@/lib/db/stock-table.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { type TableColumn, type TableQuestion, USUAL_COLUMNS } from '@/lib/stock/table.ts'
import { LongTable } from './long-table.tsx'
import { SavedViews } from './saved-views.tsx'
import { ShelfFilter } from './shelf-filter.tsx'
import { StockCells, StockHead } from './stock-lines.tsx'
import { type TableLine, tableLine } from './table-line.ts'
import { tableAddress, tableQuestion } from './table-question.ts'

export const metadata: Metadata = { title: 'Shelf' }

export default async function ShelfPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const asked = await searchParams
  const question = tableQuestion(asked)
  const page = queryId(asked.page) ?? 1
  const [extent, stores, views] = await Promise.all([
    stockTableExtent(question),
    storesList(),
    savedViews(who.personId),
  ])
  const after = page === 1 ? null : extent.anchors[page - 2]
  const rows = after === undefined ? [] : await stockTableRows(question, after)
  const { currency } = settingsRead()
  const lines = rows.map((row) => tableLine(row, question.columns, currency, todayIs()))
  const address = tableAddress(question, USUAL_COLUMNS)
  const more = [
    { href: paths.onTheWay(), says: 'On the way' },
    { href: paths.oldUnits(), says: 'Old units' },
    { href: paths.labels(), says: 'Labels' },
    { href: paths.stockValue(), says: 'Value' },
    { href: paths.deadStock(), says: 'Slow and dead' },
    { href: paths.spoils(), says: 'Spoils soon' },
    ...(mayDo(who.roles, 'stock.level') ? [{ href: paths.shelfBulk(address), says: 'Change many' }] : []),
    { href: paths.stores(), says: 'Stores and bins' },
    { href: paths.exchange(), says: 'Import and export' },
  ]
  return (
    <main className="page" id="page">
      <header className="page-head">
        <div>
          <p className="over">What lies where, and how many</p>
          <h1>Shelf</h1>
        </div>
        <nav className="row" aria-label="At the shelf">
          {mayDo(who.roles, 'stock.receive') ? (
            <Link className="button primary" href={paths.receive()} prefetch={false}>
              Receive
            </Link>
          ) : null}
          <Link className="button" href={paths.bins()} prefetch={false}>
            {mayDo(who.roles, 'stock.count') ? 'Count' : 'Bins'}
          </Link>
          <Link className="button" href={paths.movements()} prefetch={false}>
            Movements
          </Link>
        </nav>
      </header>
      <div className="stack">
        <MoreLinks of="the shelf" says="labels, value, what spoils">
          {more.map(({ href, says }) => (
            <Link key={href} className="button quiet" href={href} prefetch={false}>
              {says}
            </Link>
          ))}
        </MoreLinks>
        <ShelfFilter question={question} stores={stores} />
        <SavedViews views={views} address={paths.shelf(address)} />
        {lines.length === 0 ? (
          <Nothing question={question} page={page} />
        ) : (
          <LongTable
            key={paths.shelf(address)}
            rows={extent.rows}
            window={TABLE_ROWS}
            anchors={extent.anchors}
            address={paths.shelfRows(address)}
            columns={question.columns}
            begins={page === 1 ? lines : null}
          >
            <Stock lines={lines} columns={question.columns} />
            <Pages question={question} page={page} last={Math.ceil(extent.rows / TABLE_ROWS)} />
          </LongTable>
        )}
      </div>
    </main>
  )
}

function Stock({ lines, columns }: { lines: readonly TableLine[]; columns: readonly TableColumn[] }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Stock</caption>
      <thead>
        <StockHead columns={columns} />
      </thead>
      <tbody>
        {lines.map((line) => (
          <tr key={line.id}>
            <StockCells line={line} columns={columns} />
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function Nothing({ question, page }: { question: TableQuestion; page: number }) {
  const isFiltered = question.search !== '' || question.storeId !== null || question.state !== 'all'
  if (page > 1)
    return (
      <p className="empty">
        There is no page {page}. <Link href={addressOf(question, 1)}>Back to the first page</Link>
      </p>
    )
  if (!isFiltered)
    return (
      <p className="empty">
        The shelf is empty. <Link href={paths.receive()}>Receive</Link> what lies in the first bin; from then on every
        part taken or put back is in the <Link href={paths.movements()}>movements</Link>.
      </p>
    )
  return (
    <p className="empty">
      Nothing on the shelf answers that. <Link href={paths.shelf()}>Show the whole shelf</Link>
      {question.search === '' ? '.' : ', or '}
      {question.search === '' ? null : (
        <Link href={paths.search(question.search)}>look for “{question.search}” in the parts book</Link>
      )}
      {question.search === '' ? null : '.'}
    </p>
  )
}

function addressOf(question: TableQuestion, page: number): string {
  return paths.shelf({ ...tableAddress(question, USUAL_COLUMNS), page: page === 1 ? undefined : page })
}

function Pages({ question, page, last }: { question: TableQuestion; page: number; last: number }) {
  if (last <= 1) return null
  return (
    <nav className="row" aria-label="Pages">
      {page > 1 ? (
        <Link className="button" href={addressOf(question, page - 1)} prefetch={false}>
          Page {page - 1}
        </Link>
      ) : null}
      <span>
        Page {page} of {last}
      </span>
      {page < last ? (
        <Link className="button" href={addressOf(question, page + 1)} prefetch={false}>
          Page {page + 1}
        </Link>
      ) : null}
    </nav>
  )
}
