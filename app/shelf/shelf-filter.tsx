import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { ShelfQuery } from '@/lib/db/shelf.ts'

/** Narrows the stock table; an ordinary form, so the address holds what was asked and can be kept. */
export function ShelfFilter({ query, stores }: { query: ShelfQuery; stores: readonly { id: number; name: string }[] }) {
  const isFiltered = query.search !== '' || query.storeId !== null || query.state !== 'all'
  return (
    <search>
      <form action={paths.shelf()} className="row end">
        <div className="field">
          <label htmlFor="shelf-q">Number or words</label>
          <input id="shelf-q" name="q" type="search" defaultValue={query.search} maxLength={200} />
        </div>
        {stores.length > 1 ? (
          <div className="field">
            <label htmlFor="shelf-store">Store</label>
            <select id="shelf-store" name="store" defaultValue={query.storeId ?? ''}>
              <option value="">All stores</option>
              {stores.map((store) => (
                <option key={store.id} value={store.id}>
                  {store.name}
                </option>
              ))}
            </select>
          </div>
        ) : null}
        <div className="field">
          <label htmlFor="shelf-state">Stock</label>
          <select id="shelf-state" name="state" defaultValue={query.state === 'all' ? '' : query.state}>
            <option value="">All parts</option>
            <option value="low">At or below reorder point</option>
            <option value="none">None free</option>
          </select>
        </div>
        <button type="submit" className="button">
          Show
        </button>
        {isFiltered ? (
          <Link className="button quiet" href={paths.shelf()} prefetch={false}>
            Show all
          </Link>
        ) : null}
      </form>
    </search>
  )
}
