import Link from 'next/link'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import { orderDaysSay } from '@/lib/buying/order-day.ts'
import { packSays } from '@/lib/buying/sold-in.ts'
import type { OrderListGroup, OrderListLine } from '@/lib/db/buying.ts'
import type { InDraft } from '@/lib/db/order-draft-read.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import type { ShopWinterName } from '@/lib/replenish/plan-shop-state.ts'
import { order } from './actions.ts'
import styles from './buying.module.css'
import { DepositBeside, DepositsFoot } from './deposit-beside.tsx'
import { ForWinter } from './for-winter.tsx'
import { InDrafts } from './in-drafts.tsx'
import { LineQuantity, PartNumber } from './line-cells.tsx'
import { LineTick } from './line-tick.tsx'

interface Props {
  group: OrderListGroup
  supplier: NonNullable<OrderListGroup['supplier']>
  mayOrder: boolean
  /** By part: what of it stands in drafts already. */
  drafts?: ReadonlyMap<number, readonly InDraft[]>
  /** By part: what winter plans take of it besides. */
  winter?: ReadonlyMap<number, readonly ShopWinterName[]> | undefined
}

/** What one supplier is to send: lines, foot and the button that makes an order of them. */
export function SupplierGroup({ group, supplier, mayOrder, drafts = new Map(), winter = new Map() }: Props) {
  const { currency } = group
  const head = `supplier-${supplier.id}`
  const content = (
    <>
      <Lines
        group={group}
        currency={currency}
        mayOrder={mayOrder}
        supplier={supplier.name}
        drafts={drafts}
        winter={winter}
      />
      <Foot group={group} currency={currency} />
    </>
  )
  return (
    <section className={`sheet stack ${styles.group}`} aria-labelledby={head}>
      <div className="row spread">
        <h2 id={head}>
          <Link href={paths.supplier(supplier.id)} prefetch={false}>
            {supplier.name}
          </Link>
        </h2>
        <p className="soft">
          {counted(supplier.leadTimeDays, 'day')} from order to delivery
          {supplier.orderDays.length > 0 ? `; takes orders on ${orderDaysSay(supplier.orderDays)}` : null}
        </p>
      </div>
      {group.goodsHomeMinor === null ? <NoRate supplier={supplier.name} currency={currency} /> : null}
      {mayOrder ? (
        <ActionForm
          action={order}
          formKey={freshKey()}
          hidden={{ supplierId: supplier.id }}
          aria-label={`Order from ${supplier.name}`}
        >
          {content}
          <div className="row no-print">
            <SubmitButton className="button primary" name="as" value="ordered">
              Mark as ordered<span className="visually-hidden"> from {supplier.name}</span>
            </SubmitButton>
            <SubmitButton className="button" name="as" value="draft">
              Keep as a draft<span className="visually-hidden"> for {supplier.name}</span>
            </SubmitButton>
          </div>
        </ActionForm>
      ) : (
        content
      )}
    </section>
  )
}

function Lines(props: Omit<Required<Props>, 'supplier'> & { supplier: string; currency: string }) {
  const { group, currency, mayOrder, supplier, drafts, winter } = props
  return (
    <table className="parts fold">
      <caption className="visually-hidden">To order from {supplier}</caption>
      <thead>
        <tr>
          {mayOrder ? <th scope="col">Order</th> : null}
          <th scope="col">Part number, supplier’s number</th>
          <th scope="col">Description, why</th>
          <th scope="col" className="right">
            Quantity
          </th>
          <th scope="col">Need, sold in</th>
          <th scope="col" className="right">
            Price
          </th>
          <th scope="col" className="right">
            Cost
          </th>
        </tr>
      </thead>
      <tbody>
        {group.lines.map((line) => (
          <tr key={line.partId}>
            {mayOrder ? (
              <td>
                <LineTick partId={line.partId} number={line.number} begins={!drafts.has(line.partId)} />
              </td>
            ) : null}
            <td>
              <PartNumber line={line} />
            </td>
            <td className={`wide ${styles.why}`}>
              {line.description} <span className="soft small">{line.maker}</span>
              <br />
              <span className={styles.reason}>{line.reason}</span>
              <More line={line} currency={currency} />
              {drafts.has(line.partId) ? <br /> : null}
              <InDrafts drafts={drafts.get(line.partId) ?? []} unit={line.unit} />
              <ForWinter needs={winter?.get(line.partId) ?? []} unit={line.unit} />
            </td>
            <td className="right">
              {mayOrder ? <LineQuantity line={line} /> : quantityFormat(line.quantity, line.unit)}
            </td>
            <td className="wide" data-label="Need">
              {quantityFormat(line.need, line.unit)}, {packSays(line, line.unit)}
            </td>
            <td className={`right ${styles.price}`} data-label="Price">
              {moneyFormat(line.priceMinor, currency)}
              {line.unit === 'each' ? null : <span className="soft small"> a {line.unit}</span>}
              {line.list === null ? null : <div className="soft small">{line.list}</div>}
              <DepositBeside depositMinor={line.depositMinor} currency={currency} />
            </td>
            <td className={`right ${styles.money}`} data-label="Cost">
              {moneyFormat(line.costMinor, currency)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** A break that is dearer to miss than to reach; the buyer decides, for what is bought too early may never be used. */
function More({ line, currency }: { line: OrderListLine; currency: string }) {
  if (line.moreForNoMore === null) return null
  const { quantity, amountMinor } = line.moreForNoMore
  return (
    <div className="small">
      <span aria-hidden="true">◇ </span>
      {quantityFormat(quantity, line.unit)} cost {moneyFormat(amountMinor, currency)} in all,{' '}
      {amountMinor === line.costMinor ? 'no more' : `${moneyFormat(line.costMinor - amountMinor, currency)} less`}
    </div>
  )
}

/** Without a rate nothing of the supplier can be compared, summed or ordered. */
export function NoRate({ supplier, currency }: { supplier: string; currency: string }) {
  return (
    <p className="strong">
      <span aria-hidden="true">▲ </span>
      {supplier} asks {currency}, and no rate of it is kept: it is in no sum here, and cannot be ordered.{' '}
      <Link href={paths.rates()} prefetch={false}>
        Keep a rate
      </Link>
    </p>
  )
}

function Foot({ group, currency }: { group: OrderListGroup; currency: string }) {
  const money = (minor: number) => moneyFormat(minor, currency)
  return (
    <div className={styles.foot}>
      <p>
        Goods as proposed <span className="strong">{money(group.goodsMinor)}</span>
      </p>
      <p>
        {group.carriageMinor === 0 ? (
          'Carriage paid'
        ) : (
          <>
            Carriage <span className="strong">{money(group.carriageMinor)}</span>
          </>
        )}
      </p>
      <DepositsFoot depositsMinor={group.depositsMinor} currency={currency} />
      {group.toCarriagePaidMinor === null ? null : <p>{money(group.toCarriagePaidMinor)} more to carriage paid</p>}
      {group.toMinimumMinor === 0 ? null : (
        <p className="strong">▲ {money(group.toMinimumMinor)} more to the supplier’s minimum order</p>
      )}
    </div>
  )
}

/** Parts that nobody is known to sell: they are wanted all the same, so they are shown with the way out. */
export function GroupWithoutSupplier({ group, mayReceive }: { group: OrderListGroup; mayReceive: boolean }) {
  return (
    <section className={`sheet stack ${styles.group}`} aria-labelledby="supplier-none">
      <h2 id="supplier-none">Without a supplier</h2>
      <p>
        No supplier’s price is on file for these, so they cannot be put on an order here. Buy them over the counter and
        receive them without an order.
      </p>
      <table className="parts fold">
        <caption className="visually-hidden">Wanted, without a supplier</caption>
        <thead>
          <tr>
            <th scope="col">Part number</th>
            <th scope="col">Description, why</th>
            <th scope="col" className="right">
              Quantity
            </th>
            {mayReceive ? <th scope="col">When it is there</th> : null}
          </tr>
        </thead>
        <tbody>
          {group.lines.map((line) => (
            <tr key={line.partId}>
              <td>
                <PartNumber line={line} />
              </td>
              <td className={`wide ${styles.why}`}>
                {line.description} <span className="soft small">{line.maker}</span>
                <br />
                <span className={styles.reason}>{line.reason}</span>
              </td>
              <td className="right" data-label="Quantity">
                {quantityFormat(line.quantity, line.unit)}
              </td>
              {mayReceive ? (
                <td>
                  <Link className="button quiet" href={paths.receive({ part: line.partId })} prefetch={false}>
                    Receive<span className="visually-hidden"> {line.number}</span>
                  </Link>
                </td>
              ) : null}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
