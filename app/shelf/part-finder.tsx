import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { partSearch } from '@/lib/db/part-search.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'

/** Choosing a part by number or words: a search of its own address, and each hit a link to go on with. */
export async function PartFinder(props: {
  /** Where the search is sent; what was typed arrives there as q. */
  action: string
  typed: string
  hrefOf: (partId: number) => string
}) {
  const { action, typed, hrefOf } = props
  const hits = typed.trim() === '' ? [] : await partSearch(typed, 20)
  return (
    <div className="stack">
      <search>
        <form action={action} className="row end">
          <div className="field">
            <label htmlFor="find-part">Part number or words</label>
            <input id="find-part" name="q" type="search" defaultValue={typed} maxLength={200} autoComplete="off" />
          </div>
          <button type="submit" className="button">
            Find
          </button>
        </form>
      </search>
      {hits.length > 0 ? (
        <ul className="plain-list stack tight">
          {hits.map((hit) => (
            <li key={hit.id}>
              <Link className="button" href={hrefOf(hit.id)} prefetch={false}>
                <span className="number">{hit.number}</span> {hit.description}
              </Link>{' '}
              <span className="soft">
                {hit.maker}, {quantityFormat(hit.onHand, hit.unit as StockUnit)} on shelf
              </span>
            </li>
          ))}
        </ul>
      ) : null}
      {hits.length === 0 && typed.trim() !== '' ? (
        <p className="empty">
          No part answers “{typed}”. Try part of the number, or bring its parts list in with a{' '}
          <Link href={paths.figureImport()}>figure</Link>.
        </p>
      ) : null}
    </div>
  )
}
