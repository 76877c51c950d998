import type { ReactNode } from 'react'
import { QuantityStepper } from '@/app/_parts/quantity-stepper.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { NeedView } from '@/lib/db/job-read.ts'
import { type NeedRow, positionsSay } from '@/lib/job/need-rows.ts'
import { quantityFormat, quantityTypedAs, typedStep } from '@/lib/measure/quantity.ts'
import { decide } from '../actions.ts'
import styles from './needed.module.css'
import { rowSays } from './row-says.ts'

type Row = NeedRow<NeedView>
type Decision = 'accepted' | 'declined' | 'open'

function Decide(props: {
  row: Row
  needs?: readonly NeedView[]
  jobId: number
  decision: Decision
  className?: string
  children: ReactNode
}) {
  const { row, jobId, decision, className, children, needs = row.needs } = props
  const { unit } = quantityTypedAs(row.quantity, row.needs[0]!.unit)
  return (
    <ActionForm action={decide} formKey={freshKey()} className={className ?? ''} hidden={{ jobId, unit, decision }}>
      {needs.map((need) => (
        <input key={need.id} type="hidden" name="needIds[]" value={need.id} />
      ))}
      {children}
    </ActionForm>
  )
}

/** The one answer most rows get: how many, and yes. What is answered already is taken back here. */
export function Answer({ row, jobId }: { row: Row; jobId: number }) {
  const says = rowSays(row)
  const [need] = row.needs
  if (row.state !== 'open')
    return (
      <Decide row={row} jobId={jobId} decision="open">
        <SubmitButton className="button quiet" aria-label={`Change: ${says}`}>
          Change
        </SubmitButton>
      </Decide>
    )
  const isPart = need!.part !== null
  const shown = quantityTypedAs(row.quantity, need!.unit)
  return (
    <Decide row={row} jobId={jobId} decision="accepted" className={styles.accept}>
      {isPart ? (
        <QuantityStepper
          // A row that grew by a side starts at its new sum.
          key={row.quantity}
          name="wanted"
          label={`Quantity of ${says}`}
          value={shown.value}
          step={typedStep(shown.unit)}
          sign={shown.sign}
        />
      ) : null}
      <SubmitButton className="button" aria-label={`${isPart ? 'Accept' : 'Will do'}: ${says}`}>
        {isPart ? 'Accept' : 'Will do'}
      </SubmitButton>
    </Decide>
  )
}

/** The lines of a row one by one: a side that stays shut, an act that does not apply. */
export function AnswerApart({ row, jobId }: { row: Row; jobId: number }) {
  return (
    <ul className={`plain-list ${styles.apart}`} aria-label={`${rowSays(row)}, one by one`}>
      {row.needs.map((need) => {
        const places = need.positions.length > 0 ? positionsSay(need.positions) : `item ${need.item ?? ''}`
        const what =
          need.kind === 'act' ? need.description : `${quantityFormat(need.suggested, need.unit)} for ${places}`
        return (
          <li key={need.id}>
            <span className="small">{what}</span>
            <span className="row">
              <Decide row={row} needs={[need]} jobId={jobId} decision="accepted">
                <SubmitButton className="button" aria-label={`Only this: ${what}`}>
                  {need.kind === 'act' ? 'Will do' : 'Accept'}
                </SubmitButton>
              </Decide>
              <details>
                <summary className="button quiet">
                  Leave out<span className="visually-hidden">: {what}</span>
                </summary>
                <Decide row={row} needs={[need]} jobId={jobId} decision="declined" className="stack tight">
                  <Field name="reason" label={need.strength === 'must' ? 'Why (needed for a must)' : 'Why'} />
                  <SubmitButton className="button">Leave it out</SubmitButton>
                </Decide>
              </details>
            </span>
          </li>
        )
      })}
    </ul>
  )
}

export function LeaveOut({ row, jobId }: { row: Row; jobId: number }) {
  return (
    <Decide row={row} jobId={jobId} decision="declined" className={styles.leaveOut}>
      <Field
        name="reason"
        label={row.strength === 'must' ? 'Why it is left out (needed for a must)' : 'Why it is left out'}
      />
      <SubmitButton className="button" aria-label={`Leave out: ${rowSays(row)}`}>
        Leave out
      </SubmitButton>
    </Decide>
  )
}
