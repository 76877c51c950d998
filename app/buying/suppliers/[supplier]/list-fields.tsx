import { Field, SelectField } from '@/app/_server/field.tsx'
import type { PriceListFacts } from '@/lib/price/schema.ts'

/** What is kept of a price list beside its prices. */
export function ListFields({ facts, today }: { facts?: PriceListFacts; today?: string }) {
  return (
    <>
      <Field
        name="name"
        label="Name of the list"
        hint="As the supplier calls it, such as Winter 2026."
        maxLength={80}
        autoComplete="off"
        defaultValue={facts?.name}
      />
      <Field name="validFrom" label="First day" type="date" defaultValue={facts?.validFrom ?? today} />
      <Field
        name="validUntil"
        label="Last day"
        hint="Empty: until another list begins."
        type="date"
        defaultValue={facts?.validUntil ?? ''}
      />
      <SelectField
        name="breakKind"
        label="The price of a break holds for"
        defaultValue={facts?.breakKind ?? 'all-units'}
      >
        <option value="all-units">the whole quantity</option>
        <option value="incremental">what lies beyond the break</option>
      </SelectField>
      <Field
        name="source"
        label="Where it is from"
        hint="A letter, a call, a file; may be left empty."
        maxLength={200}
        autoComplete="off"
        defaultValue={facts?.source}
      />
    </>
  )
}
