import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { type PageQuery, queryId } from '@/app/_parts/query.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { DELIVERY_KINDS, type DeliveryKind } from '@/lib/buying/delivery.ts'
import { orderDayNext, orderDaysSay } from '@/lib/buying/order-day.ts'
import { dayBars } from '@/lib/buying/supplier-record.ts'
import type { SupplierFacts } from '@/lib/buying/supplier-schema.ts'
import type { Sums } from '@/lib/db/credit-read.ts'
import { type SupplierView, supplierRead } from '@/lib/db/supplier.ts'
import { taxSays } from '@/lib/invoice/tax.ts'
import { counted } from '@/lib/measure/counted.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { DaysPicture } from './days-picture.tsx'
import { Offers } from './offers.tsx'
import { PriceLists } from './price-lists.tsx'
import styles from './supplier.module.css'

export const metadata = { title: 'Supplier' }

/** The last of what went wrong; older ones are counted above. */
const RECORDS_SHOWN = 20

export default async function SupplierPage(props: { params: Promise<{ supplier: string }>; searchParams: PageQuery }) {
  const who = await signedIn()
  const supplierId = idOf((await props.params).supplier)
  const page = queryId((await props.searchParams).page) ?? 1
  const read = await found(supplierRead(supplierId, new Date(), page))
  const { facts, open } = read
  const currency = facts.currency ?? settingsRead().currency
  const mayOrder = mayDo(who.roles, 'buying.order')
  const today = todayIs()
  return (
    <main className="page stack loose" id="page">
      <PageHead up={paths.suppliers()} from="Suppliers" title={facts.name}>
        {mayOrder ? (
          <Link className="button" href={paths.supplierChange(supplierId)} prefetch={false}>
            Change
          </Link>
        ) : null}
      </PageHead>
      <Facts facts={facts} currency={currency} today={today} />
      <section className="stack tight" aria-labelledby="open">
        <h2 id="open">On their way</h2>
        {open.length === 0 ? (
          <p className="soft">Nothing is due.</p>
        ) : (
          <ul className="plain-list">
            {open.map((order) => (
              <li key={order.id}>
                <Link href={paths.order(order.id)} prefetch={false}>
                  Order {order.number}
                </Link>
                , {counted(order.lines, 'line')} due <When at={order.dueOn} />
                {order.dueOn < today ? <strong>, late</strong> : null}
              </li>
            ))}
          </ul>
        )}
      </section>
      <HowLong read={read} />
      <WentWrong read={read} />
      <PriceLists supplierId={supplierId} today={today} />
      <Offers read={read} supplierId={supplierId} page={page} mayOrder={mayOrder} />
    </main>
  )
}

function Facts({ facts, currency, today }: { facts: SupplierFacts; currency: string; today: string }) {
  const money = (minor: number) => moneyFormat(minor, currency)
  const carriage =
    facts.carriageMinor === 0
      ? 'none'
      : `${money(facts.carriageMinor)} an order${facts.carriagePaidFromMinor === null ? '' : `, paid from ${money(facts.carriagePaidFromMinor)} on`}`
  const next = orderDayNext(today, facts.orderDays)
  const rows: [string, string | null][] = [
    ['Contact', facts.contact],
    ['E-mail for orders', facts.email],
    ['Our number', facts.customerNumber],
    ['Takes orders on', `${orderDaysSay(facts.orderDays)}${next === today ? '' : `; next on ${dateSays(next)}`}`],
    ['Asks', facts.currency === null || facts.currency === settingsRead().currency ? null : facts.currency],
    [
      'Discount',
      facts.discountHundredths === 0 ? null : `${String(facts.discountHundredths / 100)} % off the prices of lists`,
    ],
    ['Least order', facts.minimumOrderMinor === 0 ? 'none' : money(facts.minimumOrderMinor)],
    ['Carriage', carriage],
    ['Tax', facts.taxThousandths === null ? null : taxSays(facts.taxThousandths)],
    ['Note', facts.note],
  ]
  return (
    <dl className={styles.facts}>
      {rows.map(([what, says]) =>
        says ? (
          <div key={what}>
            <dt className="soft">{what}</dt>
            <dd>{says}</dd>
          </div>
        ) : null,
      )}
    </dl>
  )
}

function HowLong({ read: { facts, lead, onTime, runs } }: { read: SupplierView }) {
  const bars = dayBars(runs)
  return (
    <section className="stack tight" aria-labelledby="days">
      <h2 id="days">How long it takes</h2>
      <p>
        They say {counted(facts.leadTimeDays, 'day')}.{' '}
        {lead.receipts === 0
          ? 'Nothing has come in two years, so that is what is reckoned with.'
          : `By ${counted(lead.receipts, 'line')} of the last two years it is ${counted(Math.round(lead.meanDays), 'day')}, mostly ${Math.max(0, Math.round(lead.meanDays - lead.sdDays))} to ${Math.round(lead.meanDays + lead.sdDays)}; that is what levels are reckoned with, drawn further to each part’s own deliveries where it has some.`}{' '}
        {onTime.known > 0
          ? `${onTime.onTime} of ${counted(onTime.known, 'line')} came whole by the day of the order.`
          : null}
      </p>
      {bars.length > 0 ? <DaysPicture bars={bars} statedDays={facts.leadTimeDays} /> : null}
    </section>
  )
}

function sumsSay(sums: Sums): string {
  return sums.map(({ currency, minor }) => moneyFormat(minor, currency)).join(' and ')
}

function WentWrong({ read: { faults, records, invoices, credits } }: { read: SupplierView }) {
  return (
    <section className="stack tight" aria-labelledby="wrong">
      <h2 id="wrong">What was not as ordered</h2>
      {records.length === 0 ? (
        <p className="soft">Nothing in two years. It is kept when a delivery is received.</p>
      ) : (
        <>
          {faults.length > 0 ? (
            <p>{faults.map(({ kind, times }) => `${DELIVERY_KINDS[kind]}: ${times}`).join('; ')}, in two years.</p>
          ) : null}
          <ul className="plain-list">
            {records.slice(0, RECORDS_SHOWN).map(({ id, at, kind, quantity, said, order, part }) => (
              <li key={id}>
                <When at={at} />,{' '}
                <Link href={paths.order(order.id)} prefetch={false}>
                  order {order.number}
                </Link>
                : {DELIVERY_KINDS[kind as DeliveryKind]},{' '}
                {quantity > 0 ? `${quantityFormat(quantity, part.unit)} of ` : 'in place of '}
                <span className="number">{part.number}</span> {part.description}
                {said ? <span className="soft">: {said}</span> : null}
              </li>
            ))}
          </ul>
        </>
      )}
      {invoices.all === 0 ? null : (
        <p>
          Invoiced wrong: {invoices.wrong} of {counted(invoices.all, 'invoice')} in two years had something that was
          disputed.
        </p>
      )}
      {credits.all === 0 && credits.open.length === 0 ? null : (
        <p>
          Credited:{' '}
          {credits.all === 0 ? 'nothing' : `${sumsSay(credits.credited)} by ${counted(credits.all, 'credit note')}`} in
          two years
          {credits.open.length === 0 ? '' : `; disputed and not credited yet ${sumsSay(credits.open)}, without tax`}.
        </p>
      )}
    </section>
  )
}
