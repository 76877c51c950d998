import type { Metadata } from 'next'
import Link from 'next/link'
import { Fragment } from 'react'
import { type PageQuery, queryId, queryText } from '@/app/_parts/query.ts'
import { StockState } from '@/app/_parts/stock-state.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type ShelfQuery, type ShelfRow, shelfPage, storesList } from '@/lib/db/shelf.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { ShelfFilter } from './shelf-filter.tsx'

export const metadata: Metadata = { title: 'Shelf' }

export default async function ShelfPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const asked = await searchParams
  const state = queryText(asked.state)
  const query: ShelfQuery = {
    search: queryText(asked.q),
    storeId: queryId(asked.store),
    state: state === 'low' || state === 'none' ? state : 'all',
    page: queryId(asked.page) ?? 1,
  }
  const [{ rows, more }, stores] = await Promise.all([shelfPage(query), storesList()])
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
          <Link className="button" href={paths.stockValue()} prefetch={false}>
            Value
          </Link>
          <Link className="button" href={paths.deadStock()} prefetch={false}>
            Slow and dead
          </Link>
          <Link className="button" href={paths.exchange()} prefetch={false}>
            Import and export
          </Link>
        </nav>
      </header>
      <div className="stack">
        <ShelfFilter query={query} stores={stores} />
        {rows.length === 0 ? <Nothing query={query} /> : <Stock rows={rows} />}
        <Pages query={query} more={more} />
      </div>
    </main>
  )
}

function Stock({ rows }: { rows: ShelfRow[] }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Stock by part number</caption>
      <thead>
        <tr>
          <th scope="col">Part number</th>
          <th scope="col">Description</th>
          <th scope="col">Where</th>
          <th scope="col">Stock</th>
          <th scope="col" className="right">
            Reorder point
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.partId}>
            <td className="number">
              <Link href={paths.part(row.partId)} prefetch={false}>
                {row.number}
              </Link>
            </td>
            <td>
              {row.description} <span className="soft small">{row.maker}</span>
            </td>
            <td className="wide" data-label="Where">
              {row.bins.length === 0 ? <span className="soft">in no bin</span> : null}
              {row.bins.map((bin, at) => (
                <Fragment key={bin.binId}>
                  {at > 0 ? ', ' : ''}
                  <Link href={paths.bin(bin.binId)} prefetch={false}>
                    {bin.bin}
                  </Link>
                  : {quantityFormat(bin.quantity, row.unit)} <span className="soft small">{bin.store}</span>
                </Fragment>
              ))}
            </td>
            <td className="wide">
              <StockState stock={row.stock} unit={row.unit} reorderPoint={row.reorderPoint} />
            </td>
            <td className="right" data-label="Reorder point">
              {row.reorderPoint === null ? (
                <span className="soft">none</span>
              ) : (
                quantityFormat(row.reorderPoint, row.unit)
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function Nothing({ query }: { query: ShelfQuery }) {
  const isFiltered = query.search !== '' || query.storeId !== null || query.state !== 'all'
  if (query.page > 1)
    return (
      <p className="empty">
        There is no page {query.page}. <Link href={addressOf({ ...query, page: 1 })}>Back to the first page</Link>
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
      {query.search === '' ? '.' : ', or '}
      {query.search === '' ? null : (
        <Link href={paths.search(query.search)}>look for “{query.search}” in the parts book</Link>
      )}
      {query.search === '' ? null : '.'}
    </p>
  )
}

function addressOf(query: ShelfQuery): string {
  return paths.shelf({
    q: query.search,
    store: query.storeId ?? undefined,
    state: query.state === 'all' ? undefined : query.state,
    page: query.page === 1 ? undefined : query.page,
  })
}

function Pages({ query, more }: { query: ShelfQuery; more: boolean }) {
  if (query.page === 1 && !more) return null
  return (
    <nav className="row" aria-label="Pages">
      {query.page > 1 ? (
        <Link className="button" href={addressOf({ ...query, page: query.page - 1 })} prefetch={false}>
          Page {query.page - 1}
        </Link>
      ) : null}
      <span>Page {query.page}</span>
      {more ? (
        <Link className="button" href={addressOf({ ...query, page: query.page + 1 })} prefetch={false}>
          Page {query.page + 1}
        </Link>
      ) : null}
    </nav>
  )
}
