import Link from 'next/link'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { PartCard } from '@/lib/db/part.ts'
import { depositSays } from '@/lib/deposit/deposit-text.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, quantityInput } from '@/lib/measure/quantity.ts'
import { mayDo, type Role } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { setLevel } from './actions.ts'

/** When it is ordered again, and who sells it. */
export function Levels({ part, roles }: { part: PartCard; roles: readonly Role[] }) {
  const show = (quantity: number) => quantityFormat(quantity, part.unit)
  const { currency } = settingsRead()
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
      {part.offers.length > 0 ? (
        <ul className="plain-list small">
          {part.offers.map((offer) => (
            <li key={offer.supplier}>
              {offer.supplier}
              {offer.supplierNumber ? `, their number ${offer.supplierNumber}` : ''}:{' '}
              {moneyFormat(offer.priceMinor, currency)} a {part.unit === 'each' ? 'piece' : part.unit}, packs of{' '}
              {show(offer.pack)}
              {offer.preferred ? ', preferred' : ''}
              {offer.depositMinor === null
                ? ''
                : `; ${depositSays({ depositMinor: offer.depositMinor, returnDays: offer.returnDays }, currency)}`}
            </li>
          ))}
        </ul>
      ) : null}
    </section>
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
