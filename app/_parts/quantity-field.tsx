import type { ReactNode } from 'react'
import { Field } from '@/app/_server/field.tsx'
import { quantityTypedAs, type StockUnit, type TypedUnit } from '@/lib/measure/quantity.ts'

/** The stock unit beside a field, in the plural a person says. */
export function unitSays(unit: TypedUnit): string {
  return unit === 'each' ? 'pieces' : `${unit}s`
}

/**
 * How much, typed in the stock unit, or in grams and millilitres where there is less than one of it. The unit goes along as `unit`, or `unit.12` for a field `quantity.12`,
 * so that what was typed is read in the unit that was shown.
 */
export function QuantityField(props: {
  name: string
  label: ReactNode
  unit: StockUnit
  /** Minor units to begin with; empty when left out. */
  value?: number
  hint?: ReactNode
  labelHidden?: boolean
  /** False when the form has a second quantity of the same part: the unit is sent once. */
  sendsUnit?: boolean
}) {
  const { name, label, unit, value, hint, labelHidden, sendsUnit = true } = props
  const at = name.indexOf('.')
  const shown = value === undefined ? { value, unit } : quantityTypedAs(value, unit)
  return (
    <>
      {sendsUnit ? <input type="hidden" name={`unit${at === -1 ? '' : name.slice(at)}`} value={shown.unit} /> : null}
      <Field
        name={name}
        label={
          <>
            {label}, {unitSays(shown.unit)}
          </>
        }
        labelHidden={labelHidden}
        hint={hint}
        className="input-number"
        inputMode={unit === 'each' ? 'numeric' : 'decimal'}
        autoComplete="off"
        defaultValue={shown.value}
      />
    </>
  )
}
