import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { returnNoteRead } from '@/lib/db/deposit-read.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { answer } from '../../actions.ts'

type Unit = Awaited<ReturnType<typeof returnNoteRead>>['units'][number]

/** What the supplier made of one old unit; set to begin with as if all of the deposit came back. */
export function Answer({ unit, currency }: { unit: Unit; currency: string }) {
  return (
    <ActionForm
      action={answer}
      formKey={freshKey()}
      hidden={{ unitId: unit.id }}
      submit="Book the answer"
      aria-label={`Answer for ${unit.number} ${unit.serialNumber ?? ''}`.trim()}
    >
      <p>
        <span className="number strong">{unit.number}</span> {unit.description}
        {unit.serialNumber ? (
          <>
            , serial number <span className="number">{unit.serialNumber}</span>
          </>
        ) : null}
        , {moneyFormat(unit.owedMinor, currency)} deposit
      </p>
      <SelectField name="state" label="The old unit was" defaultValue="accepted">
        <option value="accepted">accepted</option>
        <option value="refused">refused</option>
        <option value="lost">lost on the way back</option>
      </SelectField>
      <Field
        name="credited"
        label={`Credited, ${currency}`}
        hint="What is not credited is lost."
        inputMode="decimal"
        autoComplete="off"
        className="input-number"
        defaultValue={(unit.owedMinor / 100).toFixed(2)}
      />
      <Field
        name="reason"
        label="Reason, where not all of it is credited"
        hint="As the credit note says it."
        maxLength={200}
        autoComplete="off"
      />
    </ActionForm>
  )
}
