import Link from 'next/link'
import { StoreSelect } from '@/app/_parts/store-select.tsx'
import { paths } from '@/app/paths.ts'
import { TABLE_COLUMNS, TABLE_SORTS, type TableQuestion } from '@/lib/stock/table.ts'
import styles from './shelf.module.css'

/** Narrows the stock table and says what stands in it; an ordinary form, so the address holds what was asked and can be kept. */
export function ShelfFilter(props: { question: TableQuestion; stores: readonly { id: number; name: string }[] }) {
  const { question, stores } = props
  const isFiltered = question.search !== '' || question.storeId !== null || question.state !== 'all'
  return (
    <search>
      <form action={paths.shelf()} className="stack tight">
        <div className={`row end ${styles.filter}`}>
          <div className="field">
            <label htmlFor="shelf-q">Number or words</label>
            <input id="shelf-q" name="q" type="search" defaultValue={question.search} maxLength={200} />
          </div>
          <StoreSelect id="shelf-store" stores={stores} storeId={question.storeId} />
          <div className="field">
            <label htmlFor="shelf-state">Stock</label>
            <select id="shelf-state" name="state" defaultValue={question.state === 'all' ? '' : question.state}>
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
        </div>
        <details>
          <summary className="button quiet">Columns and order</summary>
          <div className="stack tight">
            <div className="field">
              <label htmlFor="shelf-sort">In order of</label>
              <select id="shelf-sort" name="sort" defaultValue={question.sort === 'number' ? '' : question.sort}>
                {Object.entries(TABLE_SORTS).map(([sort, says]) => (
                  <option key={sort} value={sort === 'number' ? '' : sort}>
                    {says}
                  </option>
                ))}
              </select>
            </div>
            <fieldset>
              <legend>Columns</legend>
              <div className="row">
                {Object.entries(TABLE_COLUMNS).map(([column, says]) => (
                  <label key={column} className="tick">
                    <input
                      type="checkbox"
                      name="cols"
                      value={column}
                      defaultChecked={question.columns.some((one) => one === column)}
                    />{' '}
                    {says}
                  </label>
                ))}
              </div>
            </fieldset>
            <button type="submit" className="button">
              Show so
            </button>
          </div>
        </details>
      </form>
    </search>
  )
}
