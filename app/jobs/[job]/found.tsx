import { SelectField, TextField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { otherSidesOf } from '@/lib/db/job-found.ts'
import type { CheckView } from '@/lib/db/job-read.ts'
import { isShaftEnd } from '@/lib/figure/shaft-end.ts'
import { stepKeyRead } from '@/lib/job/step-key.ts'
import { addFound, addOtherSide } from './actions.ts'

/** The other side of what is renewed, while the machine is up. */
export async function OtherSides({ jobId }: { jobId: number }) {
  const sides = await otherSidesOf(jobId)
  if (sides.length === 0) return null
  return (
    <section className="stack tight" aria-labelledby="other-side">
      <h2 id="other-side">
        {sides.every(({ position }) => isShaftEnd(position)) ? 'While it is apart' : 'While it is up'}
      </h2>
      <ul className="plain-list stack tight">
        {sides.map((side) => (
          <li key={`${side.targetId} ${side.position}`} className="row spread">
            <span>
              <span className="callout">{side.item}</span> {side.description}, {side.label}
            </span>
            <ActionForm
              action={addOtherSide}
              formKey={freshKey()}
              className=""
              submit={
                <>
                  {isShaftEnd(side.position) ? 'Do this end too' : 'Do this side too'}
                  <span className="visually-hidden">
                    : {side.description}, {side.label}
                  </span>
                </>
              }
              submitClassName="button"
              hidden={{ jobId, targetId: side.targetId, position: side.position }}
            />
          </li>
        ))}
      </ul>
    </section>
  )
}

/** Something found at a step: onto this job, or a job of its own. Steps in words alone have no part to renew. */
export function Found({ jobId, step }: { jobId: number; step: CheckView }) {
  const hasPart = stepKeyRead(step.key)?.around === null
  return (
    <details>
      <summary className="button quiet">
        Found something<span className="visually-hidden">: {step.text}</span>
      </summary>
      <ActionForm
        action={addFound}
        formKey={freshKey()}
        submit="Add it"
        submitClassName="button"
        hidden={{ jobId, checkId: step.id }}
        aria-label={`Found: ${step.text}`}
      >
        <TextField name="words" label="What was found" rows={2} />
        <SelectField name="onto" label="Where it goes">
          {hasPart ? <option value="this-job">Renew this part on this job</option> : null}
          <option value="own-job">A job of its own</option>
        </SelectField>
      </ActionForm>
    </details>
  )
}
