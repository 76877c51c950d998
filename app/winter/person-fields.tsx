'use client'

import { Field } from '@/app/_server/field.tsx'
import { useFormState } from '@/app/_server/form-state.tsx'
import { AWAY_MOST, personFields } from '@/lib/winter/person-field.ts'
import type { DaySpan } from '@/lib/winter/season.ts'

interface Props {
  personId: string
  name: string
  /** As typed; empty: takes no part. */
  hours: string
  away: readonly DaySpan[]
}

/** What one person gives to a plan. Days away are folded until there are some, or something is wrong with them. */
export function PersonFields({ personId, name, hours, away }: Props) {
  const { refused } = useFormState()
  const spans = Array.from({ length: AWAY_MOST }, (_, at) => ({ at: at + 1, span: away[at] }))
  const fields = spans.flatMap(({ at }) => [personFields.awayFrom(personId, at), personFields.awayUntil(personId, at)])
  const isWrong = fields.some((field) => refused?.fields[field] !== undefined || refused?.values[field])
  return (
    <fieldset className="field">
      <legend>{name}</legend>
      <Field
        name={personFields.hours(personId)}
        label="Hours a day"
        inputMode="decimal"
        autoComplete="off"
        className="input-number"
        defaultValue={hours}
      />
      <details open={away.length > 0 || isWrong}>
        <summary>
          Days away<span className="visually-hidden"> of {name}</span>
        </summary>
        {spans.map(({ at, span }) => (
          <div className="row end" key={at}>
            <Field
              name={personFields.awayFrom(personId, at)}
              label={`Away from, ${at}`}
              type="date"
              defaultValue={span?.from ?? ''}
            />
            <Field
              name={personFields.awayUntil(personId, at)}
              label={`Away until, ${at}`}
              type="date"
              defaultValue={span?.until ?? ''}
            />
          </div>
        ))}
      </details>
    </fieldset>
  )
}
