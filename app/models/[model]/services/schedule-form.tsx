import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { ScheduleView } from '@/lib/db/service-schedule.ts'
import { hoursTyped } from '@/lib/measure/work-hours.ts'
import { saveSchedule } from './actions.ts'

/** Name and interval: hours, months, or whichever of the two comes first. */
export function ScheduleForm({ modelId, schedule }: { modelId: number; schedule: ScheduleView | null }) {
  const number = { inputMode: 'numeric', className: 'input-number', autoComplete: 'off' } as const
  const shown = (value: number | null | undefined) => (value ? String(value) : '')
  return (
    <ActionForm
      action={saveSchedule}
      formKey={freshKey()}
      submit={schedule ? 'Keep' : 'Plan it'}
      submitClassName="button"
      aria-label={schedule ? `Change ${schedule.name}` : 'Another service'}
      hidden={{ modelId, ...(schedule ? { scheduleId: schedule.id } : {}) }}
    >
      <Field name="name" label="Name" defaultValue={schedule?.name} autoComplete="off" hint="250 h service" />
      <div className="row end">
        <Field
          name="everyHours"
          label="Every, running hours"
          defaultValue={shown(schedule?.everyTenths && schedule.everyTenths / 10)}
          {...number}
        />
        <Field name="everyMonths" label="Every, months" defaultValue={shown(schedule?.everyMonths)} {...number} />
      </div>
      <p className="hint">Both: whichever comes first.</p>
      <div className="row end">
        <Field
          name="toleranceHours"
          label="Sooner or later by, hours"
          defaultValue={shown(schedule?.toleranceTenths && schedule.toleranceTenths / 10)}
          {...number}
        />
        <Field
          name="toleranceDays"
          label="Sooner or later by, days"
          defaultValue={shown(schedule?.toleranceDays)}
          {...number}
        />
      </div>
      <Field
        name="labourHours"
        label="Labour, hours"
        hint="What it takes of people’s time: 6.5. Left empty, the winter plan learns it from past jobs."
        defaultValue={schedule?.labourMinutes ? hoursTyped(schedule.labourMinutes) : ''}
        {...number}
        inputMode="decimal"
      />
    </ActionForm>
  )
}
