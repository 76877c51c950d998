import { Field, SelectField } from '@/app/_server/field.tsx'
import { PART_CLASSES, partClassSays } from '@/lib/catalogue/part-class.ts'
import { CRITICALITIES, type PartNewInput } from '@/lib/catalogue/schema.ts'
import { STOCK_UNITS } from '@/lib/measure/quantity.ts'

const CRITICAL_SAYS = {
  vital: 'vital - the machine stands without it',
  essential: 'essential - it works, badly',
  desirable: 'desirable - it can wait',
} as const

/** What a part is, for entering and for changing. */
export function PartFields({ part, unitLocked = false }: { part?: PartNewInput; unitLocked?: boolean }) {
  return (
    <>
      <Field name="number" label="Part number" defaultValue={part?.number} autoComplete="off" required />
      <Field name="maker" label="Maker" defaultValue={part?.maker} autoComplete="off" required />
      <Field name="description" label="Description" defaultValue={part?.description} autoComplete="off" required />
      <SelectField name="partClass" label="Class" defaultValue={part?.partClass ?? 'other'}>
        {PART_CLASSES.map((one) => (
          <option key={one} value={one}>
            {partClassSays(one)}
          </option>
        ))}
      </SelectField>
      {unitLocked && part ? (
        <>
          <input type="hidden" name="unit" value={part.unit} />
          <p>
            Kept by the {part.unit}. <span className="soft">The unit stays: quantities on file are written in it.</span>
          </p>
        </>
      ) : (
        <SelectField name="unit" label="Kept by the" defaultValue={part?.unit ?? 'each'}>
          {STOCK_UNITS.map((one) => (
            <option key={one} value={one}>
              {one}
            </option>
          ))}
        </SelectField>
      )}
      <SelectField name="criticality" label="How much it matters" defaultValue={part?.criticality ?? 'essential'}>
        {CRITICALITIES.map((one) => (
          <option key={one} value={one}>
            {CRITICAL_SAYS[one]}
          </option>
        ))}
      </SelectField>
    </>
  )
}
