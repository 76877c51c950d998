import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { type PageQuery, queryId } from '@/app/_parts/query.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { priceListRead } from '@/lib/db/price-list.ts'
import { mayDo } from '@/lib/people/role.ts'
import { ListFields } from '../../list-fields.tsx'
import { changeList } from './actions.ts'

export const metadata: Metadata = { title: 'Price list' }

export default async function PriceListPage(props: {
  params: Promise<{ supplier: string; list: string }>
  searchParams: PageQuery
}) {
  const who = await signedIn()
  const { supplier: supplierText, list } = await props.params
  const [supplierId, listId] = [idOf(supplierText), idOf(list)]
  const page = queryId((await props.searchParams).page) ?? 1
  const read = await found(priceListRead(supplierId, listId, page))
  const { facts, parts } = read
  const today = todayIs()
  return (
    <main className="page stack loose" id="page">
      <PageHead up={paths.supplier(supplierId)} from={read.supplier.name} about="price list" title={facts.name} />
      <p>
        Holds from <When at={facts.validFrom} /> to{' '}
        {facts.validUntil === null ? 'the day another list begins' : <When at={facts.validUntil} />}
        {facts.validUntil !== null && facts.validUntil < today ? ', so it is over' : ''}. The price of a break holds for{' '}
        {facts.breakKind === 'all-units' ? 'the whole quantity' : 'what lies beyond it'}.{' '}
        <span className="soft">
          Entered <When at={read.enteredAt} /> by {read.enteredBy}
          {facts.source === '' ? null : `; ${facts.source}`}
        </span>
      </p>
      {mayDo(who.roles, 'buying.order') ? (
        <details>
          <summary className="button quiet">Change the list</summary>
          <ActionForm
            action={changeList}
            formKey={freshKey()}
            hidden={{ supplierId, listId }}
            submit="Keep it so"
            aria-label="Change the list"
          >
            <ListFields facts={facts} />
          </ActionForm>
        </details>
      ) : null}
      {parts.length === 0 ? (
        <p className="empty">
          No part is on it. Prices come onto it from the offer of a part, or with a list of prices.
        </p>
      ) : (
        <table className="parts fold">
          <caption className="visually-hidden">Prices of the list</caption>
          <thead>
            <tr>
              <th scope="col">Part</th>
              <th scope="col">Prices, before the discount</th>
            </tr>
          </thead>
          <tbody>
            {parts.map(({ partId, number, description, says }) => (
              <tr key={partId}>
                <td className="wide">
                  <Link href={paths.offer(supplierId, partId)} prefetch={false}>
                    <span className="number">{number}</span>
                  </Link>{' '}
                  {description}
                </td>
                <td className="wide" data-label="Prices">
                  {says}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {page > 1 || !read.isLastPage ? (
        <nav className="row" aria-label="Pages of the list">
          {page > 1 ? (
            <Link className="button" href={paths.priceList(supplierId, listId, { page: page - 1 })} prefetch={false}>
              Before
            </Link>
          ) : null}
          {read.isLastPage ? null : (
            <Link className="button" href={paths.priceList(supplierId, listId, { page: page + 1 })} prefetch={false}>
              Further
            </Link>
          )}
        </nav>
      ) : null}
    </main>
  )
}
