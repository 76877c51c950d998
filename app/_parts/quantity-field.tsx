import type { ReactNode } from 'react'
import { Field } from '@/app/_server/field.tsx'
import { quantityInput, type StockUnit } from '@/lib/measure/quantity.ts'

/** The stock unit beside a field, in the plural a person says. */
export function unitSays(unit: StockUnit): string {
  return unit === 'each' ? 'pieces' : `${unit}s`
}

/**
 * How much, typed in the stock unit with its decimals. The unit goes along as `unit`, or `unit.12` for a field `quantity.12`,
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
  return (
    <>
      {sendsUnit ? <input type="hidden" name={`unit${at === -1 ? '' : name.slice(at)}`} value={unit} /> : null}
      <Field
        name={name}
        label={
          <>
            {label}, {unitSays(unit)}
          </>
        }
        labelHidden={labelHidden}
        hint={hint}
        className="input-number"
        inputMode={unit === 'each' ? 'numeric' : 'decimal'}
        autoComplete="off"
        defaultValue={value === undefined ? undefined : quantityInput(value, unit)}
      />
    </>
  )
}
