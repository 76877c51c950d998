import Link from 'next/link'
import { unitSays } from '@/app/_parts/quantity-field.tsx'
import { Field } from '@/app/_server/field.tsx'
import { paths } from '@/app/paths.ts'
import { quantityInput, type StockUnit } from '@/lib/measure/quantity.ts'

/** The part's number with its link, and below it what the supplier calls it. */
export function PartNumber({ line }: { line: { partId: number; number: string; supplierNumber: string | null } }) {
  return (
    <>
      <Link href={paths.part(line.partId)} className="number" prefetch={false}>
        {line.number}
      </Link>
      {line.supplierNumber ? (
        <>
          <br />
          <span className="number soft small">
            <span className="visually-hidden">supplier’s number </span>
            {line.supplierNumber}
          </span>
        </>
      ) : null}
    </>
  )
}

/** How many are ordered, to be changed: the field `quantity.<part>.<unit>` of its form. */
export function LineQuantity(props: {
  line: { partId: number; number: string; unit: StockUnit; quantity: number }
  says?: string
}) {
  const { partId, number, unit, quantity } = props.line
  return (
    <>
      <Field
        name={`quantity.${partId}.${unit}`}
        label={`${props.says ?? 'Quantity of'} ${number}, ${unitSays(unit)}`}
        labelHidden
        inputMode={unit === 'each' ? 'numeric' : 'decimal'}
        autoComplete="off"
        className="input-number"
        defaultValue={quantityInput(quantity, unit)}
      />
      {unit === 'each' ? null : <span className="soft small">{unitSays(unit)}</span>}
    </>
  )
}
