import Link from 'next/link'
import { unitSays } from '@/app/_parts/quantity-field.tsx'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { OfferView } from '@/lib/db/offer.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, quantityInput } from '@/lib/measure/quantity.ts'
import { BREAKS_MOST } from '@/lib/price/price-list.ts'
import { ListFields } from '../../list-fields.tsx'
import { keepPrices } from './actions.ts'

type Prices = OfferView['lists'][number]['prices']

/** Rows for breaks to come beside those that are there. */
const SPARE_ROWS = 3

/** The price lists of the supplier that have the part, each with its breaks, and the way onto another one. */
export function Lists({ read, mayChange, today }: { read: OfferView; mayChange: boolean; today: string }) {
  const { supplier, part, lists, without } = read
  return (
    <section className="stack" aria-labelledby="lists">
      <h2 id="lists">On price lists</h2>
      <p className="soft">
        Prices by quantity from one day to another, before the discount. Where several hold, the one that began last
        counts.
      </p>
      {lists.length === 0 ? <p>On none of their lists.</p> : null}
      {lists.map(({ listId, name, validFrom, validUntil, source, breakKind, prices }) => {
        const isOver = validUntil !== null && validUntil < today
        return (
          <section className="sheet stack tight" key={listId} aria-labelledby={`list-${listId}`}>
            <h3 id={`list-${listId}`}>
              <Link href={paths.priceList(supplier.id, listId)} prefetch={false}>
                {name}
              </Link>
            </h3>
            <p>
              <When at={validFrom} /> to {validUntil === null ? 'the next list' : <When at={validUntil} />}
              {isOver ? ', over' : validFrom > today ? ', to come' : ''}
              {breakKind === 'incremental' ? '; breaks price what lies beyond them' : ''}
              {source === '' ? null : <span className="soft">; {source}</span>}
            </p>
            <p>
              {prices
                .map(
                  ({ from, priceMinor }) =>
                    `from ${quantityFormat(from, part.unit)}: ${moneyFormat(priceMinor, supplier.currency)}`,
                )
                .join('; ')}
            </p>
            {mayChange && !isOver ? (
              <details>
                <summary className="button quiet">
                  Change the prices<span className="visually-hidden"> on {name}</span>
                </summary>
                <PricesForm read={read} prices={prices} listId={listId} says={`Prices on ${name}`} />
              </details>
            ) : null}
          </section>
        )
      })}
      {mayChange ? (
        <>
          {without.map(({ id, name }) => (
            <details key={id}>
              <summary className="button quiet">Put it on {name}</summary>
              <PricesForm read={read} prices={[]} listId={id} says={`Prices on ${name}`} />
            </details>
          ))}
          <details>
            <summary className="button quiet">Put it on a new list</summary>
            <PricesForm read={read} prices={[]} listId={null} says="Prices on a new list" today={today} />
          </details>
        </>
      ) : null}
    </section>
  )
}

function PricesForm(props: { read: OfferView; prices: Prices; listId: number | null; says: string; today?: string }) {
  const { read, prices, listId, says, today } = props
  const { supplier, part, offer } = read
  const rows = Math.min(BREAKS_MOST, prices.length + SPARE_ROWS)
  const least = offer ? quantityInput(Math.max(offer.pack, offer.minimum), part.unit) : ''
  return (
    <ActionForm
      action={keepPrices}
      formKey={freshKey()}
      hidden={{ supplierId: supplier.id, partId: part.id, unit: part.unit, ...(listId === null ? {} : { listId }) }}
      submit="Keep the prices"
      aria-label={says}
    >
      {listId === null ? <ListFields today={today} /> : null}
      {Array.from({ length: rows }, (_, row) => {
        const price = prices[row]
        return (
          <div className="row" key={price?.from ?? `new-${row}`}>
            <Field
              name={`from.${row}`}
              label={<RowLabel says={`From, ${unitSays(part.unit)}`} row={row} />}
              inputMode="decimal"
              autoComplete="off"
              className="input-number"
              defaultValue={price ? quantityInput(price.from, part.unit) : row === 0 ? least : ''}
            />
            <Field
              name={`price.${row}`}
              label={<RowLabel says={`Price, ${supplier.currency}`} row={row} />}
              inputMode="decimal"
              autoComplete="off"
              className="input-number"
              defaultValue={price ? (price.priceMinor / 100).toFixed(2) : ''}
            />
          </div>
        )
      })}
      {listId !== null && prices.length > 0 ? (
        <p className="soft small">All rows empty: it is taken off the list.</p>
      ) : null}
    </ActionForm>
  )
}

/** Rows look alike to the ear without their number. */
function RowLabel({ says, row }: { says: string; row: number }) {
  return (
    <>
      {says}
      <span className="visually-hidden">, row {row + 1}</span>
    </>
  )
}
