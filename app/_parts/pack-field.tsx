import { SelectField } from '@/app/_server/field.tsx'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { unitSays } from './quantity-field.tsx'

/** Whether a number counts stock units or packs. Sent is how many minor units are in one; nothing is shown where a part has no packs. */
export function PackField(props: {
  name: string
  /** The part's number, for those who listen. */
  of: string
  unit: StockUnit
  packs: readonly { id: number; name: string; quantity: number }[]
}) {
  const { name, of, unit, packs } = props
  if (packs.length === 0) return null
  return (
    <SelectField
      name={name}
      label={
        <>
          Counted in<span className="visually-hidden">, {of}</span>
        </>
      }
      defaultValue="unit"
    >
      <option value="unit">{unitSays(unit)}</option>
      {packs.map((pack) => (
        <option key={pack.id} value={pack.quantity}>
          {pack.name} ({quantityFormat(pack.quantity, unit)})
        </option>
      ))}
    </SelectField>
  )
}
