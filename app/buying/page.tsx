import type { Metadata } from 'next'
import Link from 'next/link'
import { Fragment } from 'react'
import { KitHints } from '@/app/_parts/kit-hints.tsx'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { MoreLinks } from '@/app/_parts/more-links.tsx'
import { PrintButton } from '@/app/_parts/print-button.tsx'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { orderListWhole } from '@/lib/db/buying.ts'
import { kitHintsFor } from '@/lib/db/kit.ts'
import { inDrafts } from '@/lib/db/order-draft-read.ts'
import { planWinterNeeds } from '@/lib/db/order-plan-view.ts'
import { wintersInForce } from '@/lib/db/order-plan-winter.ts'
import { workshopName } from '@/lib/db/workshop.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import { dateOf } from '@/lib/service/plain-date.ts'
import { settingsRead } from '@/lib/settings.ts'
import styles from './buying.module.css'
import { WinterBesides } from './for-winter.tsx'
import { NoLongerMade } from './no-longer-made.tsx'
import { GroupWithoutSupplier, SupplierGroup } from './supplier-group.tsx'

export const metadata: Metadata = { title: 'Order list' }

export default async function BuyingPage() {
  const who = await signedIn()
  const [{ groups, refused }, workshop] = await Promise.all([orderListWhole(), workshopName()])
  const now = new Date()
  const [hints, drafts, winters, winter] = await Promise.all([
    kitHintsFor(groups.flatMap((group) => group.lines.map(({ partId, need }) => ({ partId, quantity: need })))),
    inDrafts(groups.flatMap((group) => group.lines.map(({ partId }) => partId))),
    wintersInForce(dateOf(now)),
    planWinterNeeds(),
  ])
  const { currency } = settingsRead()
  const mayOrder = mayDo(who.roles, 'buying.order')
  const lines = groups.reduce((sum, group) => sum + group.lines.length, 0)
  const goods = groups.reduce((sum, group) => sum + (group.supplier ? (group.goodsHomeMinor ?? 0) : 0), 0)
  const isHowSaid = mayOrder && lines > 0
  // A kit saves money only before its parts are ordered one by one.
  const below = [
    ...(hints.length > 0 ? [{ id: 'as-kit', says: `${counted(hints.length, 'kit')} would be cheaper` }] : []),
    ...(refused.length > 0 ? [{ id: 'no-longer-made', says: `${refused.length} wanted, but no longer made` }] : []),
    ...(isHowSaid ? [{ id: 'how-to-order', says: 'how to order' }] : []),
  ]
  return (
    <main className="page" id="page">
      <header className="page-head">
        <div>
          {workshop ? <p className={`strong ${styles.onPaper}`}>{workshop}</p> : null}
          <p className="over">
            What to order and why, <When at={new Date()} />
          </p>
          <h1>Order list</h1>
        </div>
        <nav className="row no-print" aria-label="Buying">
          <Link className="button" href={paths.orders()} prefetch={false}>
            Orders
          </Link>
          <Link className="button" href={paths.orderPlan()} prefetch={false}>
            Order plan
          </Link>
        </nav>
      </header>
      <div className="stack loose">
        <div className="stack">
          <MoreLinks of="buying" says="suppliers">
            <More hasLines={lines > 0} />
          </MoreLinks>
          {lines === 0 ? (
            <p className="empty">
              Nothing to order. A part comes onto this list when its shelf falls to the reorder point set on its part
              card, or when a job wants more than is there. See the <Link href={paths.orders()}>orders</Link> that are
              on their way, or the <Link href={paths.shelf()}>shelf</Link>.
            </p>
          ) : (
            <p>
              {counted(lines, 'line')}, {moneyFormat(goods, currency)} of goods.{' '}
              <span className="no-print">
                <Below links={below} />
              </span>
            </p>
          )}
        </div>
        <WinterBesides winters={winters} asked={winter} />
        {mayOrder || lines === 0 ? null : <MayNot right="buying.order" />}
        {groups.map((group) =>
          group.supplier ? (
            <SupplierGroup
              key={group.supplier.id}
              group={group}
              supplier={group.supplier}
              mayOrder={mayOrder}
              drafts={drafts}
              winter={winters.length === 0 ? undefined : winter?.byPart}
            />
          ) : (
            <GroupWithoutSupplier key="none" group={group} mayReceive={mayDo(who.roles, 'stock.receive')} />
          ),
        )}
        <KitHints hints={hints} currency={currency} />
        <NoLongerMade lines={refused} />
        {isHowSaid ? (
          <section className="stack tight no-print" aria-labelledby="how-to-order">
            <h2 id="how-to-order">How to order</h2>
            <p>
              Change a quantity, or take the tick off a line to leave it for another time. Send the order to the
              supplier your own way; “Mark as ordered” keeps it here as on order. A draft is not on order: it waits to
              be approved or sent.
            </p>
          </section>
        ) : null}
      </div>
    </main>
  )
}

/** What stands under the lines, each with a way to it: on a phone it is far below. */
function Below({ links }: { links: readonly { id: string; says: string }[] }) {
  return links.map(({ id, says }, at) => (
    <Fragment key={id}>
      {at === 0 ? null : ', '}
      <a href={`#${id}`}>{says}</a>
    </Fragment>
  ))
}

function More({ hasLines }: { hasLines: boolean }) {
  const more = [
    { href: paths.suppliers(), says: 'Suppliers' },
    { href: paths.levels(), says: 'Levels' },
    { href: paths.winters(), says: 'Winter' },
    { href: paths.lastYear(), says: 'Last year, run again' },
  ]
  return (
    <>
      {more.map(({ href, says }) => (
        <Link key={href} className="button quiet" href={href} prefetch={false}>
          {says}
        </Link>
      ))}
      {hasLines ? (
        <>
          <a className="button quiet" href={paths.buyingCsv()} download>
            List as CSV
          </a>
          <PrintButton isQuiet>Print the list</PrintButton>
        </>
      ) : null}
    </>
  )
}
