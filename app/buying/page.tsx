import type { Metadata } from 'next'
import Link from 'next/link'
import { KitHints } from '@/app/_parts/kit-hints.tsx'
import { MayNot } from '@/app/_parts/may-not.tsx'
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
  return (
    <main className="page" id="page">
      <header className="page-head">
        <div>
          {workshop ? <p className={`strong ${styles.onPaper}`}>{workshop}</p> : null}
          <p className="over">
            What to order, from whom and why, <When at={new Date()} />
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
          <Link className="button" href={paths.levels()} prefetch={false}>
            Levels
          </Link>
          <Link className="button" href={paths.suppliers()} prefetch={false}>
            Suppliers
          </Link>
          <Link className="button" href={paths.winters()} prefetch={false}>
            Winter
          </Link>
          <Link className="button" href={paths.lastYear()} prefetch={false}>
            Last year, run again
          </Link>
          {lines > 0 ? (
            <>
              <a className="button" href={paths.buyingCsv()} download>
                List as CSV
              </a>
              <PrintButton>Print the list</PrintButton>
            </>
          ) : null}
        </nav>
      </header>
      <div className="stack loose">
        {lines === 0 ? (
          <p className="empty">
            Nothing to order. A part comes onto this list when its shelf falls to the reorder point set on its part
            card, or when a job wants more than is there. See the <Link href={paths.orders()}>orders</Link> that are on
            their way, or the <Link href={paths.shelf()}>shelf</Link>.
          </p>
        ) : (
          <p>
            {counted(lines, 'line')}, {moneyFormat(goods, currency)} of goods as proposed.{' '}
            {mayOrder ? (
              <span className="no-print">
                Change a quantity, or take the tick off a line to leave it for another time. Send the order to the
                supplier your own way; “Mark as ordered” keeps it here as on order. A draft is not on order: it waits to
                be approved or sent.
              </span>
            ) : null}
          </p>
        )}
        <WinterBesides winters={winters} asked={winter} />
        {mayOrder || lines === 0 ? null : <MayNot right="buying.order" />}
        <KitHints hints={hints} currency={currency} />
        <NoLongerMade lines={refused} />
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
      </div>
    </main>
  )
}
