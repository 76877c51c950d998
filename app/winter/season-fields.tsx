import { Field, TickGroup } from '@/app/_server/field.tsx'
import { WEEKDAYS } from '@/lib/buying/order-day.ts'
import { hoursTyped } from '@/lib/measure/work-hours.ts'
import { SHUT_MOST } from '@/lib/winter/schema.ts'
import { type SeasonWork, USUAL_MINUTES } from '@/lib/winter/season.ts'
import { PersonFields } from './person-fields.tsx'

interface Named {
  personId: string
  name: string
}

/** When the season is and how much is done in it; for a new plan and for one that is changed. */
export function SeasonFields({ name, work, people }: { name: string; work: SeasonWork; people: readonly Named[] }) {
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
      <CalendarFields work={work} people={people} />
    </>
  )
}

/** Bays and people; whoever was named once stays on the list, also after having left the workshop. */
function CalendarFields({ work: { calendar }, people }: { work: SeasonWork; people: readonly Named[] }) {
  const named = new Map(calendar?.people.map((one) => [one.personId, one]))
  const known = new Set(people.map(({ personId }) => personId))
  const gone = (calendar?.people ?? []).filter(({ personId }) => !known.has(personId))
  return (
    <fieldset className="field">
      <legend>Bays and people</legend>
      <p className="hint">
        Enter either, and weeks are filled by hours and bays; machines a week no longer count. One person works at a
        machine at a time, one machine stands in a bay, and what takes longer than a week goes on in the next.
      </p>
      <div className="row end">
        <Field
          name="bays"
          label="Bays"
          inputMode="numeric"
          autoComplete="off"
          className="input-number"
          defaultValue={calendar?.bays === null || calendar === undefined ? '' : String(calendar.bays)}
        />
        <Field
          name="usualHours"
          label="Hours of a service not known"
          hint="Where nothing is written with the service and no past job tells."
          inputMode="decimal"
          autoComplete="off"
          className="input-number"
          defaultValue={hoursTyped(calendar?.usualMinutes ?? USUAL_MINUTES)}
        />
      </div>
      {[...people, ...gone].map(({ personId, name }) => {
        const person = named.get(personId)
        return (
          <PersonFields
            key={personId}
            personId={personId}
            name={known.has(personId) ? name : `${name}, no longer in the workshop`}
            hours={person === undefined ? '' : hoursTyped(person.minutesADay)}
            away={person?.away ?? []}
          />
        )
      })}
    </fieldset>
  )
}
