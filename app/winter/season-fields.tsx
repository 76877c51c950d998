import { Field, TickGroup } from '@/app/_server/field.tsx'
import { WEEKDAYS } from '@/lib/buying/order-day.ts'
import { SHUT_MOST } from '@/lib/winter/schema.ts'
import type { SeasonWork } from '@/lib/winter/season.ts'

/** When the season is and how much is done in it; for a new plan and for one that is changed. */
export function SeasonFields({ name, work }: { name: string; work: SeasonWork }) {
  const stretches = Array.from({ length: SHUT_MOST }, (_, at) => ({ at: at + 1, span: work.shut[at] }))
  return (
    <>
      <Field name="name" label="Name" defaultValue={name} autoComplete="off" required />
      <div className="row end">
        <Field name="from" label="First day" type="date" defaultValue={work.from} required />
        <Field name="until" label="Last day" type="date" defaultValue={work.until} required />
        <Field
          name="machinesAWeek"
          label="Machines a week"
          inputMode="numeric"
          autoComplete="off"
          className="input-number"
          defaultValue={String(work.machinesAWeek)}
          required
        />
      </div>
      <TickGroup
        name="workdays"
        legend="Days that are worked"
        options={WEEKDAYS.map((label, at) => ({ value: String(at + 1), label }))}
        ticked={work.workdays.map(String)}
      />
      <fieldset className="field">
        <legend>Days shut</legend>
        {stretches.map(({ at, span }) => (
          <div className="row end" key={at}>
            <Field name={`shutFrom${at}`} label={`Shut from, ${at}`} type="date" defaultValue={span?.from ?? ''} />
            <Field name={`shutUntil${at}`} label={`Shut until, ${at}`} type="date" defaultValue={span?.until ?? ''} />
          </div>
        ))}
      </fieldset>
    </>
  )
}
