import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { unitSays } from '@/app/_parts/quantity-field.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { Field, Tick } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type OfferView, offerRead } from '@/lib/db/offer.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, quantityInput, type StockUnit } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { keepOffer, withdrawOffer } from './actions.ts'
import { Lists } from './lists.tsx'

export const metadata: Metadata = { title: 'Offer' }

export default async function OfferPage(props: { params: Promise<{ supplier: string; part: string }> }) {
  const who = await signedIn()
  const { supplier: supplierText, part: partText } = await props.params
  const today = todayIs()
  const read = await found(offerRead(idOf(supplierText), idOf(partText), today))
  const { supplier, part, offer } = read
  const mayOrder = mayDo(who.roles, 'buying.order')
  const sells = offer !== null && offer.withdrawnAt === null
  return (
    <main className="page narrow stack loose" id="page">
      <PageHead
        up={paths.supplier(supplier.id)}
        from={supplier.name}
        about="what they sell us"
        title={
          <>
            <span className="number">{part.number}</span> {part.description}
          </>
        }
      >
        <Link className="button" href={paths.part(part.id)} prefetch={false}>
          The part
        </Link>
      </PageHead>
      {offer === null ? <p>No offer of theirs is on file yet.</p> : null}
      {offer !== null && offer.withdrawnAt !== null ? (
        <p className="strong">
          <span aria-hidden="true">✕ </span>Withdrawn <When at={offer.withdrawnAt} />: it is neither proposed nor
          ordered.
        </p>
      ) : null}
      {read.on === null ? null : <Today read={read} today={today} />}
      {mayOrder ? <Terms read={read} /> : <MayNot right="buying.order" />}
      {offer === null ? null : <Lists read={read} mayChange={mayOrder && sells} today={today} />}
      {sells && mayOrder ? <Withdraw read={read} /> : null}
      <Changes read={read} />
    </main>
  )
}

const a = (unit: StockUnit) => (unit === 'each' ? 'a piece' : `a ${unit}`)

function Today({ read: { on, supplier, part }, today }: { read: OfferView; today: string }) {
  if (on === null) return null
  const discount = supplier.discountHundredths / 100
  return (
    <section className="stack tight" aria-labelledby="today">
      <h2 id="today">
        Asked today, <When at={today} />
      </h2>
      <p>
        {on.list === null
          ? 'No list holds today: the price of the offer itself counts.'
          : `By the list ${on.list.name}${discount === 0 ? '' : `, ${String(discount)} % discount taken off`}.`}{' '}
        {on.breaks.length > 1
          ? on.breakKind === 'all-units'
            ? 'The price of a break holds for the whole quantity.'
            : 'The price of a break holds for what lies beyond it.'
          : null}
      </p>
      <table className="parts">
        <thead>
          <tr>
            <th scope="col" className="right">
              From
            </th>
            <th scope="col" className="right">
              Price {a(part.unit)}
            </th>
          </tr>
        </thead>
        <tbody>
          {on.breaks.map(({ from, priceMinor }) => (
            <tr key={from}>
              <td className="right">{from === 0 ? 'any number' : quantityFormat(from, part.unit)}</td>
              <td className="right">{moneyFormat(priceMinor, supplier.currency)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function Terms({ read: { supplier, part, offer } }: { read: OfferView }) {
  const unit = unitSays(part.unit)
  const scale = part.unit === 'each' ? 1 : 1000
  return (
    <section className="stack" aria-labelledby="terms">
      <h2 id="terms">{offer === null ? 'Add their offer' : 'The offer'}</h2>
      <ActionForm
        action={keepOffer}
        formKey={freshKey()}
        hidden={{ supplierId: supplier.id, partId: part.id, unit: part.unit }}
        submit={offer === null ? 'Add the offer' : offer.withdrawnAt === null ? 'Keep it so' : 'Offer it again'}
        aria-label="The offer"
      >
        <Field
          name="supplierNumber"
          label="Their number"
          maxLength={60}
          autoComplete="off"
          defaultValue={offer?.supplierNumber ?? ''}
        />
        <Field
          name="pack"
          label={`Sold in packs of, ${unit}`}
          inputMode="decimal"
          autoComplete="off"
          className="input-number"
          defaultValue={quantityInput(offer?.pack ?? scale, part.unit)}
        />
        <Field
          name="minimum"
          label={`At least, ${unit}`}
          hint="Empty: one pack."
          inputMode="decimal"
          autoComplete="off"
          className="input-number"
          defaultValue={offer && offer.minimum > offer.pack ? quantityInput(offer.minimum, part.unit) : ''}
        />
        <Field
          name="price"
          label={`Price ${a(part.unit)} where no list holds, ${supplier.currency}`}
          hint="As it is paid: the discount is not taken off it."
          inputMode="decimal"
          autoComplete="off"
          className="input-number"
          defaultValue={offer ? (offer.priceMinor / 100).toFixed(2) : ''}
        />
        <Tick name="preferred" label="Ordered from here first, whatever others ask" ticked={offer?.preferred} />
      </ActionForm>
    </section>
  )
}

function Withdraw({ read: { supplier, part } }: { read: OfferView }) {
  return (
    <details>
      <summary className="button quiet">Withdraw the offer</summary>
      <ActionForm
        action={withdrawOffer}
        formKey={freshKey()}
        hidden={{ supplierId: supplier.id, partId: part.id }}
        submit="Withdraw it"
        submitClassName="button"
        aria-label="Withdraw the offer"
      >
        <p>
          It is neither proposed nor ordered any more; orders, deliveries and old prices stay. It can be offered again.
        </p>
        <Field name="reason" label="Why" hint="May be left empty." maxLength={200} autoComplete="off" />
      </ActionForm>
    </details>
  )
}

function Changes({ read: { changes } }: { read: OfferView }) {
  if (changes.length === 0) return null
  return (
    <section className="stack tight" aria-labelledby="changes">
      <h2 id="changes">What became of it</h2>
      <ul className="plain-list">
        {changes.map(({ id, at, person, says }) => (
          <li key={id}>
            <When at={at} />, {person}: {says}
          </li>
        ))}
      </ul>
    </section>
  )
}
