import type { Metadata } from 'next'
import Link from 'next/link'
import { BatchFields } from '@/app/_parts/batch-fields.tsx'
import { BinField } from '@/app/_parts/bin-field.tsx'
import { found } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PackField } from '@/app/_parts/pack-field.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { PartHead } from '@/app/_parts/part-head.tsx'
import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { QuantityField } from '@/app/_parts/quantity-field.tsx'
import { type PageQuery, queryId, queryText } from '@/app/_parts/query.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { partBatches } from '@/lib/db/batch-read.ts'
import { type PartCard, partCard } from '@/lib/db/part.ts'
import { partPacks } from '@/lib/db/part-pack.ts'
import { putAwayOf } from '@/lib/db/put-away.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { PUT_AWAY_WHY } from '@/lib/stock/put-away.ts'
import { receive } from '../actions.ts'

export const metadata: Metadata = { title: 'Receive' }

export default async function ReceivePage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const asked = await searchParams
  const partId = queryId(asked.part)
  const part = partId === null ? null : await found(partCard(partId))
  return (
    <main className="page narrow" id="page">
      <PageHead up={paths.shelf()} from="Shelf" title="Receive" />
      {mayDo(who.roles, 'stock.receive') ? (
        <div className="stack">
          {part ? (
            <ReceivePart part={part} />
          ) : (
            <>
              <p>
                Which part came? What came on an order is received at the <Link href={paths.orders()}>order</Link>.
              </p>
              <PartPicker
                query={queryText(asked.q)}
                action={paths.receive()}
                pick={(part) => (
                  <Link className="button" href={paths.receive({ part: part.id })} prefetch={false}>
                    Choose<span className="visually-hidden"> {part.number}</span>
                  </Link>
                )}
              />
            </>
          )}
        </div>
      ) : (
        <MayNot right="stock.receive" />
      )}
    </main>
  )
}

async function ReceivePart({ part }: { part: PartCard }) {
  const [bins, into, packs, { rule }] = await Promise.all([
    binsList(),
    putAwayOf([part.id], null),
    partPacks([part.id]),
    partBatches(part.id),
  ])
  const { currency } = settingsRead()
  const show = (quantity: number) => quantityFormat(quantity, part.unit)
  const now = (into.get(part.id) ?? []).map(({ binId, why }) => ({ binId, says: PUT_AWAY_WHY[why] }))
  return (
    <>
      <PartHead part={part}>
        <p>
          <Link href={paths.receive()} prefetch={false}>
            Another part
          </Link>
        </p>
      </PartHead>
      {part.onOrder.map((order) => (
        <p className="done" key={order.orderId}>
          {show(order.quantity)} are due on{' '}
          <Link href={paths.order(order.orderId)} prefetch={false}>
            order {order.number}
          </Link>{' '}
          from {order.supplier}, <When at={order.dueOn} />. If this is that delivery, receive it there: only then is it
          no longer due.
        </p>
      ))}
      {bins.length === 0 ? (
        <p className="empty">
          There is no bin yet to put it in. Set it up under <Link href={paths.stores()}>Stores and bins</Link>.
        </p>
      ) : (
        <ActionForm
          action={receive}
          formKey={freshKey()}
          hidden={{ partId: part.id }}
          aria-label={`Receive ${part.number}`}
        >
          <QuantityField name="quantity" label="How many came" unit={part.unit} />
          <PackField name="pack" of={part.number} unit={part.unit} packs={packs.get(part.id) ?? []} />
          <BatchFields rule={rule} of={part.number} partId={part.id} today={todayIs()} notKnown />
          <BinField name="binId" label="Into bin" bins={bins} now={now} nowSays="Proposed" />
          <Field
            name="cost"
            label={`Cost of one ${part.unit === 'each' ? 'piece' : part.unit}, ${currency} (may be left empty)`}
            hint="Kept as the last cost of the part."
            inputMode="decimal"
            autoComplete="off"
            className="input-number"
          />
          <DepositFields part={part} currency={currency} />
          <Field name="reason" label="Note (may be left empty)" maxLength={200} autoComplete="off" />
          <div className="main-action">
            <SubmitButton className="button primary big">Put on shelf</SubmitButton>
          </div>
        </ActionForm>
      )}
    </>
  )
}

/** An exchange part that came without an order: the deposit that was charged is owed from now on. */
function DepositFields({ part, currency }: { part: PartCard; currency: string }) {
  const offers = part.offers.filter((offer) => offer.depositMinor !== null)
  const [first] = offers
  if (first === undefined) return null
  return (
    <fieldset className="stack tight">
      <legend className="strong">Exchange part</legend>
      <p className="soft">Its deposit is owed until the old unit is back. What came on an order is received there.</p>
      <SelectField name="depositSupplier" label="Deposit charged by" defaultValue={String(first.supplierId)}>
        {offers.map((offer) => (
          <option key={offer.supplierId} value={offer.supplierId}>
            {offer.supplier}
          </option>
        ))}
        <option value="none">Nobody: no deposit was charged</option>
      </SelectField>
      <Field
        name="deposit"
        label={`Deposit on one piece, ${currency}`}
        hint="As the delivery note or the invoice says it."
        defaultValue={(first.depositMinor! / 100).toFixed(2)}
        inputMode="decimal"
        autoComplete="off"
        className="input-number"
      />
    </fieldset>
  )
}
