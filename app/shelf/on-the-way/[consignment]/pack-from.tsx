import { BatchOutField } from '@/app/_parts/batch-fields.tsx'
import type { PickedPart } from '@/app/_parts/part-picker.tsx'
import { QuantityField } from '@/app/_parts/quantity-field.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { partBatches } from '@/lib/db/batch-read.ts'
import { holdingsIn } from '@/lib/db/consignment-read.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { addLine } from '../actions.ts'

/** How many of a part go into the box, and from which bin of the sending store. */
export async function PackFrom(props: { part: PickedPart; consignmentId: number; storeId: number }) {
  const { part, consignmentId, storeId } = props
  const bins = (await holdingsIn(storeId, [part.id])).get(part.id) ?? []
  if (bins.length === 0) return <p className="soft">None lies in this store.</p>
  const from = new Set(bins.map((bin) => bin.binId))
  const lots = (await partBatches(part.id)).lines.filter((line) => from.has(line.binId))
  return (
    <ActionForm
      action={addLine}
      formKey={freshKey()}
      hidden={{ consignmentId, partId: part.id }}
      className="row end"
      submit="Put in"
      submitClassName="button"
      aria-label={`Put ${part.number} in`}
    >
      <QuantityField name="quantity" label="How many" unit={part.unit} />
      <SelectField name="fromBinId" label="From bin" defaultValue={String(bins[0]!.binId)}>
        {bins.map((bin) => (
          <option key={bin.binId} value={bin.binId}>
            {bin.bin} ({quantityFormat(bin.quantity, part.unit)})
          </option>
        ))}
      </SelectField>
      <BatchOutField lots={lots} unit={part.unit} today={todayIs()} use why={false} partId={part.id} of={part.number} />
    </ActionForm>
  )
}
