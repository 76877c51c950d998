import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import { priceLists } from '@/lib/db/price-list.ts'
import { counted } from '@/lib/measure/counted.ts'

/** The lists of a supplier, those that hold and those that are history. */
export async function PriceLists({ supplierId, today }: { supplierId: number; today: string }) {
  const lists = await priceLists(supplierId)
  return (
    <section className="stack tight" aria-labelledby="price-lists">
      <h2 id="price-lists">Price lists</h2>
      {lists.length === 0 ? (
        <p className="soft">
          None: the price of each offer counts. A list comes from an offer below, or as a file under{' '}
          <Link href={paths.exchange()} prefetch={false}>
            Import and export
          </Link>
          .
        </p>
      ) : (
        <ul className="plain-list">
          {lists.map(({ id, name, validFrom, validUntil, parts }) => (
            <li key={id}>
              <Link href={paths.priceList(supplierId, id)} prefetch={false}>
                {name}
              </Link>
              , {counted(parts, 'part')}, <When at={validFrom} /> to{' '}
              {validUntil === null ? 'the next list' : <When at={validUntil} />}
              {validUntil !== null && validUntil < today ? (
                <span className="soft">, over</span>
              ) : validFrom > today ? (
                ', to come'
              ) : null}
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}
