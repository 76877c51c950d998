import type { ReactNode } from 'react'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { CheckView } from '@/lib/db/job-read.ts'
import { setCheck } from './actions.ts'
import styles from './job.module.css'
import { MeasureForm, MeasureState } from './measure.tsx'

/** Steps to tick off in order. A test may also be set aside, with a reason. */
export function CheckList(props: {
  jobId: number
  checks: CheckView[]
  mayWork: boolean
  maySetAside?: boolean
  /** What belongs to a step, under its words. */
  with?: (check: CheckView) => ReactNode
  /** What else can be done at a step. */
  after?: (check: CheckView) => ReactNode
}) {
  return (
    <ol className={`plain-list ${styles.checks}`}>
      {props.checks.map((check, at) => (
        <li key={check.id} className={check.state === 'open' ? undefined : styles.ticked}>
          <span className={styles.checkText}>
            <span className="soft">{at + 1}.</span> {check.text}
            {check.state === 'not-applicable' ? <span className="soft"> - does not apply: {check.note}</span> : null}
            {/* Before it is measured the field says the limits. */}
            {props.mayWork && check.state === 'open' && check.measured === null ? null : <MeasureState check={check} />}
            {check.by ? <span className="soft small"> - {check.by}</span> : null}
            {props.with?.(check)}
          </span>
          {props.mayWork ? (
            <span className="row">
              {check.measure && check.state === 'open' ? (
                <MeasureForm jobId={props.jobId} check={check} />
              ) : (
                <ActionForm
                  action={setCheck}
                  formKey={freshKey()}
                  className=""
                  hidden={{ jobId: props.jobId, checkId: check.id, state: check.state === 'open' ? 'done' : 'open' }}
                >
                  <SubmitButton
                    className="button"
                    aria-label={`${check.state === 'open' ? 'Done' : '✓ Undo'}: ${check.text}`}
                  >
                    {check.state === 'open' ? 'Done' : '✓ Undo'}
                  </SubmitButton>
                </ActionForm>
              )}
              {props.maySetAside && check.state === 'open' ? (
                <details>
                  <summary className="button quiet">Does not apply</summary>
                  <ActionForm
                    action={setCheck}
                    formKey={freshKey()}
                    submit="Set aside"
                    submitClassName="button"
                    hidden={{ jobId: props.jobId, checkId: check.id, state: 'not-applicable' }}
                  >
                    <Field name="note" label="Why" />
                  </ActionForm>
                </details>
              ) : null}
            </span>
          ) : (
            <span>{check.state === 'open' ? 'open' : '✓'}</span>
          )}
          {props.after?.(check)}
        </li>
      ))}
    </ol>
  )
}
