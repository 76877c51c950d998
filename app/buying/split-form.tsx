import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm, type ActionFormProps, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { packSays } from '@/lib/buying/sold-in.ts'
import type { OfferNow } from '@/lib/db/offer-price.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import styles from './buying.module.css'
import { LineQuantity, PartNumber } from './line-cells.tsx'
import { LineTick } from './line-tick.tsx'

interface Line {
  partId: number
  number: string
  supplierNumber: string | null
  description: string
  unit: StockUnit
  /** What can be moved at most. */
  quantity: number
}

/** Lines, or a part of them, moved to a new draft: for the same supplier, or for another that sells them. */
export function SplitForm<A>(props: {
  action: ActionFormProps<A>['action']
  hidden: Record<string, string | number>
  says: string
  lines: readonly Line[]
  own: { id: number; name: string }
  offers: ReadonlyMap<number, readonly OfferNow[]>
  /** What is due on an order: every line begins ticked, and it is said why it is taken back. */
  isOrder?: boolean
}) {
  const { action, hidden, says, lines, own, offers, isOrder = false } = props
  const others = othersOf(own.id, offers)
  return (
    <ActionForm action={action} formKey={freshKey()} hidden={hidden} aria-label={says}>
      <table className="parts fold">
        <caption className="visually-hidden">Lines that can be moved</caption>
        <thead>
          <tr>
            <th scope="col">
              <span className="visually-hidden">Move</span>
            </th>
            <th scope="col">Part number</th>
            <th scope="col">Description, who else sells it</th>
            <th scope="col" className="right">
              How many
            </th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <tr key={line.partId}>
              <td>
                <LineTick partId={line.partId} number={line.number} begins={isOrder} says="Move" />
                {isOrder ? (
                  <input type="hidden" name={`due.${line.partId}.${line.unit}`} value={line.quantity} />
                ) : null}
              </td>
              <td>
                <PartNumber line={line} />
              </td>
              <td className={`wide ${styles.why}`}>
                {line.description}
                {(offers.get(line.partId) ?? []).map((offer) =>
                  offer.supplierId === own.id ? null : (
                    <div className={styles.reason} key={offer.supplierId}>
                      {offer.supplier}: {moneyFormat(offer.on.breaks[0]!.priceMinor, offer.currency)},{' '}
                      {packSays(offer, line.unit)}
                    </div>
                  ),
                )}
              </td>
              <td className={`right ${styles.quantity}`}>
                <LineQuantity line={line} says="How many to move of" />
                <span className="soft small">of {quantityFormat(line.quantity, line.unit)}</span>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <SelectField name="supplierId" label="To a draft for" defaultValue={String(own.id)}>
        <option value={own.id}>{own.name}</option>
        {others.map((other) => (
          <option key={other.id} value={other.id}>
            {other.name} (sells {counted(other.parts, 'line')} of these)
          </option>
        ))}
      </SelectField>
      {isOrder ? (
        <Field
          name="why"
          label="Why it is taken back"
          hint="Tell the supplier first. It stands in the record of the order."
          maxLength={200}
          autoComplete="off"
        />
      ) : null}
      <p className="soft small">
        What moves is priced as its supplier asks today; another supplier gets it in whole packs of its own.
      </p>
      <div className="row">
        <SubmitButton className="button">{says}</SubmitButton>
      </div>
    </ActionForm>
  )
}

/** Other suppliers that sell at least one of the lines, those that sell most first. */
function othersOf(ownId: number, offers: ReadonlyMap<number, readonly OfferNow[]>) {
  const found = new Map<number, { id: number; name: string; parts: number }>()
  for (const { supplierId, supplier } of [...offers.values()].flat()) {
    if (supplierId === ownId) continue
    const parts = (found.get(supplierId)?.parts ?? 0) + 1
    found.set(supplierId, { id: supplierId, name: supplier, parts })
  }
  return [...found.values()].sort((a, b) => b.parts - a.parts || a.name.localeCompare(b.name))
}
