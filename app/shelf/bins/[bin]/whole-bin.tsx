import { type BinChoice, BinField } from '@/app/_parts/bin-field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moveBin } from '../../actions.ts'

/** Everything of a bin into another one, for when a shelf is cleared. The form stays in an emptied bin, to be answered. */
export function WholeBin(props: {
  bin: { id: number; code: string; parts: { quantity: number }[] }
  bins: readonly BinChoice[]
  /** Batches that lie here. */
  batches: number
}) {
  const { bin, bins, batches } = props
  const lies = bin.parts.filter((part) => part.quantity > 0).length
  if (bins.length === 0 || bin.parts.length === 0) return null
  return (
    <details>
      <summary className="button quiet">Move the whole bin</summary>
      <ActionForm
        action={moveBin}
        formKey={freshKey()}
        hidden={{ fromBinId: bin.id }}
        submit="Move all of it"
        submitClassName="button"
        aria-label={`Move the whole bin ${bin.code}`}
      >
        <p>
          {lies === 0 ? 'Nothing lies here now.' : `${counted(lies, 'part')} and all there is of each.`}
          {batches > 0 ? ' Every batch goes along as itself, expired or not.' : ''}
        </p>
        <BinField name="toBinId" label="To bin" bins={bins} />
      </ActionForm>
    </details>
  )
}
