import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { CheckView } from '@/lib/db/job-read.ts'
import { measureLimitsSay, measurePasses } from '@/lib/job/measurement.ts'
import { measureSet } from './actions.ts'

/** What was measured against its limits, by word and shape; before that, the limits alone. */
export function MeasureState({ check }: { check: CheckView }) {
  const { measure, measured } = check
  if (!measure) return null
  const limits = measureLimitsSay(measure)
  if (measured === null)
    return (
      <span className="soft">
        {' '}
        - {measure.what}: {limits}
      </span>
    )
  const passes = measurePasses(measure, measured)
  return (
    <span className="strong">
      {' '}
      {passes ? '✓' : '✗'} {measure.what} {measured} {measure.unit},{' '}
      {passes
        ? 'inside'
        : check.note
          ? `outside, let go because: ${check.note}`
          : check.kind === 'after-run'
            ? 'outside, set it right before it works on'
            : 'outside, stops the release'}{' '}
      ({limits})
    </span>
  )
}

/** The reason is asked for only once a value stands outside its limits. */
export function MeasureForm({ jobId, check }: { jobId: number; check: CheckView }) {
  const { measure, measured } = check
  if (!measure) return null
  const isOutside = measured !== null && !measurePasses(measure, measured)
  return (
    <ActionForm
      action={measureSet}
      formKey={freshKey()}
      submit="Keep the value"
      submitClassName="button"
      className="stack tight"
      hidden={{ jobId, checkId: check.id }}
      aria-label={check.text}
    >
      <Field
        name="value"
        label={`${measure.what}, ${measure.unit}`}
        hint={`${measureLimitsSay(measure)}. The maker’s manual rules.`}
        inputMode="decimal"
        className="input-number"
        autoComplete="off"
        defaultValue={isOutside ? String(measured) : ''}
      />
      {isOutside ? <Field name="note" label="If it stays so, why it may go to work" autoComplete="off" /> : null}
    </ActionForm>
  )
}
