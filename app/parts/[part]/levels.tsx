import Link from 'next/link'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import { packSays } from '@/lib/buying/sold-in.ts'
import type { PartCard } from '@/lib/db/part.ts'
import { supplierNames } from '@/lib/db/supplier.ts'
import { depositSays } from '@/lib/deposit/deposit-text.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, quantityInput } from '@/lib/measure/quantity.ts'
import { mayDo, type Role } from '@/lib/people/role.ts'
import { setLevel } from './actions.ts'

/** When it is ordered again, and who sells it. */
export function Levels({ part, roles }: { part: PartCard; roles: readonly Role[] }) {
  const show = (quantity: number) => quantityFormat(quantity, part.unit)
  return (
    <section className="stack tight" aria-labelledby="levels">
      <h2 id="levels">Level</h2>
      {part.level ? (
        <p>
          Reorder point {show(part.level.reorderPoint)}, order up to {show(part.level.orderUpTo)}.{' '}
          <span className="soft">{part.level.reason}</span>
        </p>
      ) : (
        <p className="soft">No reorder point yet: it comes on the order list only when a job waits for it.</p>
      )}
      <p>
        <Link className="button" href={paths.partLevel(part.id)} prefetch={false}>
          How many to keep, and why
        </Link>
      </p>
      <LevelForm part={part} roles={roles} />
      <h3>Who sells it</h3>
      {part.offers.length > 0 ? (
        <ul className="plain-list small">
          {part.offers.map((offer) => (
            <li key={offer.supplier}>
              <Link href={paths.offer(offer.supplierId, part.id)} prefetch={false}>
                {offer.supplier}
              </Link>
              {offer.supplierNumber ? `, their number ${offer.supplierNumber}` : ''}:{' '}
              {moneyFormat(offer.priceMinor, offer.currency)} a {part.unit === 'each' ? 'piece' : part.unit}
              {offer.breaks.map(
                ({ from, priceMinor }) => `, from ${show(from)} ${moneyFormat(priceMinor, offer.currency)}`,
              )}
              , {packSays(offer, part.unit)}
              {offer.preferred ? ', preferred' : ''}
              {offer.depositMinor === null
                ? ''
                : `; ${depositSays({ depositMinor: offer.depositMinor, returnDays: offer.returnDays }, offer.currency)}`}
            </li>
          ))}
        </ul>
      ) : (
        <p className="soft">Nobody, as far as is known.</p>
      )}
      {mayDo(roles, 'buying.order') ? <MoreOffers part={part} /> : null}
    </section>
  )
}

/** The other suppliers, each with the way to its offer; withdrawn offers are there too. */
async function MoreOffers({ part }: { part: PartCard }) {
  const selling = new Set(part.offers.map(({ supplierId }) => supplierId))
  const others = (await supplierNames()).filter(({ id }) => !selling.has(id))
  if (others.length === 0) return null
  return (
    <details>
      <summary className="button quiet">Add an offer</summary>
      <ul className="plain-list">
        {others.map(({ id, name }) => (
          <li key={id}>
            <Link href={paths.offer(id, part.id)} prefetch={false}>
              {name}
            </Link>
          </li>
        ))}
      </ul>
    </details>
  )
}

function LevelForm({ part, roles }: { part: PartCard; roles: readonly Role[] }) {
  if (!mayDo(roles, 'stock.level')) return null
  const unit = part.unit === 'each' ? 'pieces' : `${part.unit}s`
  return (
    <details>
      <summary className="button quiet">{part.level ? 'Change the level' : 'Set a level'}</summary>
      <ActionForm
        action={setLevel}
        formKey={freshKey()}
        submit="Keep this level"
        hidden={{ partId: part.id, unit: part.unit }}
      >
        <Field
          name="reorderPoint"
          label={`Reorder point, ${unit}`}
          hint="Ordered when what is there and coming, less what jobs want, is at or below this."
          inputMode="decimal"
          defaultValue={part.level ? quantityInput(part.level.reorderPoint, part.unit) : undefined}
        />
        <Field
          name="orderUpTo"
          label={`Order up to, ${unit}`}
          inputMode="decimal"
          defaultValue={part.level ? quantityInput(part.level.orderUpTo, part.unit) : undefined}
        />
        <Field name="reason" label="Why" defaultValue={part.level?.reason} />
      </ActionForm>
    </details>
  )
}
