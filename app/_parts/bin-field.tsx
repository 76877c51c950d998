import type { ReactNode } from 'react'
import { ScanField } from '@/app/_parts/scan/scan-field.tsx'
import { SelectField } from '@/app/_server/field.tsx'

export interface BinChoice {
  id: number
  code: string
  store: string
}

/** One bin out of all, by store in walking order; the bins where the part lies now come first, and the first of them is set. */
export function BinField(props: {
  name: string
  label: ReactNode
  bins: readonly BinChoice[]
  /** Bins where the part lies, best first, with what lies there in words. */
  now?: readonly { binId: number; says: string }[]
  /** What is said above `now`. */
  nowSays?: string
  /** Set to begin with; else the first of `now`. */
  binId?: number
  hint?: ReactNode
  labelHidden?: boolean
}) {
  const { name, label, bins, now = [], nowSays = 'Lies here now', binId, hint, labelHidden } = props
  const byId = new Map(bins.map((bin) => [bin.id, bin]))
  const near = now.flatMap(({ binId: id, says }) => {
    const bin = byId.get(id)
    return bin ? [{ ...bin, says }] : []
  })
  const nearIds = new Set(near.map((bin) => bin.id))
  const rest = bins.filter((bin) => !nearIds.has(bin.id))
  const stores = [...new Set(rest.map((bin) => bin.store))]
  return (
    <ScanField
      want="bin"
      says={
        <>
          Scan<span className="visually-hidden"> a bin: {label}</span>
        </>
      }
    >
      <SelectField
        name={name}
        label={label}
        labelHidden={labelHidden}
        hint={hint}
        defaultValue={String(binId ?? near[0]?.id ?? '')}
      >
        <option value="">Choose a bin</option>
        {near.length > 0 ? (
          <optgroup label={nowSays}>
            {near.map((bin) => (
              <option key={bin.id} value={bin.id}>
                {bin.code}, {bin.store} ({bin.says})
              </option>
            ))}
          </optgroup>
        ) : null}
        {stores.map((store) => (
          <optgroup key={store} label={store}>
            {rest
              .filter((bin) => bin.store === store)
              .map((bin) => (
                <option key={bin.id} value={bin.id}>
                  {bin.code}
                </option>
              ))}
          </optgroup>
        ))}
      </SelectField>
    </ScanField>
  )
}
