import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { SupplierView } from '@/lib/db/supplier.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'

/** What a supplier sells, a page of it, at the price of today for the smallest order. */
export function Offers(props: { read: SupplierView; supplierId: number; page: number; mayOrder: boolean }) {
  const { read, supplierId, page, mayOrder } = props
  const { offers, offersAll, isLastPage } = read
  return (
    <section className="stack tight" aria-labelledby="sells">
      <div className="row spread">
        <h2 id="sells">What they sell us</h2>
        {mayOrder ? (
          <Link className="button" href={paths.supplierOffers(supplierId)} prefetch={false}>
            Add a part
          </Link>
        ) : null}
      </div>
      {offersAll === 0 ? (
        <p className="soft">
          No prices yet. They are added part by part, or come with a list of suppliers and offers under{' '}
          <Link href={paths.exchange()} prefetch={false}>
            Import and export
          </Link>
          .
        </p>
      ) : (
        <>
          <table className="parts fold">
            <caption>{counted(offersAll, 'part')}</caption>
            <thead>
              <tr>
                <th scope="col">Part</th>
                <th scope="col">Their number</th>
                <th scope="col">Sold in</th>
                <th scope="col">From here first</th>
                <th scope="col" className="right">
                  Price today
                </th>
              </tr>
            </thead>
            <tbody>
              {offers.map((offer) => (
                <Row key={offer.partId} offer={offer} supplierId={supplierId} />
              ))}
            </tbody>
          </table>
          {page > 1 || !isLastPage ? (
            <nav className="row" aria-label="Pages">
              {page > 1 ? (
                <Link className="button" href={paths.supplier(supplierId, page - 1)} prefetch={false}>
                  Page {page - 1}
                </Link>
              ) : null}
              <span>Page {page}</span>
              {isLastPage ? null : (
                <Link className="button" href={paths.supplier(supplierId, page + 1)} prefetch={false}>
                  Page {page + 1}
                </Link>
              )}
            </nav>
          ) : null}
        </>
      )}
    </section>
  )
}

function Row({ offer, supplierId }: { offer: SupplierView['offers'][number]; supplierId: number }) {
  const { partId, part, supplierNumber, pack, minimum, preferred, now } = offer
  return (
    <tr>
      <td className="wide">
        <Link href={paths.offer(supplierId, partId)} prefetch={false}>
          <span className="number">{part.number}</span>
        </Link>{' '}
        {part.description}
      </td>
      <td className="wide number" data-label="Their number">
        {supplierNumber ?? '–'}
      </td>
      <td className="wide" data-label="Sold in">
        {quantityFormat(pack, part.unit)}
        {minimum > pack ? `, at least ${quantityFormat(minimum, part.unit)}` : null}
      </td>
      <td className="wide" data-label="From here first">
        {preferred ? 'yes' : 'no'}
      </td>
      <td className="right wide" data-label="Price today">
        {now === null ? (
          <span className="soft">withdrawn</span>
        ) : (
          <>
            {moneyFormat(now.priceMinor, now.currency)}
            {part.unit === 'each' ? null : <span className="soft small"> a {part.unit}</span>}
            {now.breaks > 1 ? <span className="soft small">, {counted(now.breaks - 1, 'break')}</span> : null}
          </>
        )}
      </td>
    </tr>
  )
}
