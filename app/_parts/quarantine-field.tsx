import { SelectField } from '@/app/_server/field.tsx'

/** Into which quarantine bin something goes; at least one is there. */
export function QuarantineField({ bins }: { bins: readonly { id: number; code: string; store: string }[] }) {
  return (
    <SelectField name="toBinId" label="Quarantine bin" defaultValue={String(bins[0]!.id)}>
      {bins.map((bin) => (
        <option key={bin.id} value={bin.id}>
          {bin.code}, {bin.store}
        </option>
      ))}
    </SelectField>
  )
}
