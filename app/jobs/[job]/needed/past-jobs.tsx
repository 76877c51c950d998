import Link from 'next/link'
import { StockState } from '@/app/_parts/stock-state.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { LearnedView } from '@/lib/db/job-learned.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityInput } from '@/lib/measure/quantity.ts'
import { addNeed } from '../actions.ts'
import styles from '../job.module.css'

/** What past jobs with the same target also took. Counted, not ruled: it stands apart, and nothing is accepted in one go. */
export function PastJobs({ learned, jobId, mayWork }: { learned: LearnedView[]; jobId: number; mayWork: boolean }) {
  if (learned.length === 0) return null
  return (
    <section className="stack tight" aria-labelledby="past-jobs">
      <h2 id="past-jobs">Past jobs also took</h2>
      <p className="soft">Counted from closed jobs with the same part. No rule asks for it: look whether it is worn.</p>
      <div className={styles.needs}>
        {learned.map((one) => (
          <div key={one.partId} className={styles.need}>
            <div className="stack tight">
              <span className="strong">{one.description}</span>
              <p className="small">
                <Link href={paths.part(one.partId)} className="number">
                  {one.number}
                </Link>{' '}
                <StockState stock={one.stock} unit={one.unit} reorderPoint={null} />
              </p>
              <p className="small">
                {one.together} of {counted(one.support, 'job')} that renewed {one.target.description} took it
                {one.declined > 0 ? `, ${one.declined} left it out` : ''}; at least {Math.floor(one.lower * 100)} in
                100, with 95 % certainty.
              </p>
            </div>
            {mayWork ? (
              <ActionForm
                action={addNeed}
                formKey={freshKey()}
                className="row end"
                hidden={{ jobId, partId: one.partId, unit: one.unit }}
              >
                <Field
                  name="quantity"
                  label={`Quantity of ${one.description}${one.unit === 'each' ? '' : `, ${one.unit}`}`}
                  labelHidden
                  inputMode="decimal"
                  className="input-number"
                  defaultValue={quantityInput(one.usual, one.unit)}
                />
                <SubmitButton className="button" aria-label={`Add to the job: ${one.description}`}>
                  Add to the job
                </SubmitButton>
              </ActionForm>
            ) : null}
          </div>
        ))}
      </div>
    </section>
  )
}
