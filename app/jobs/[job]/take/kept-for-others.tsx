import Link from 'next/link'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { KeptElsewhere } from '@/lib/db/job-kept.ts'
import { jobWhenSays } from '@/lib/job/when.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { moveKept } from '../actions.ts'

/** What lies on the shelf for other jobs of a line that comes short, and the way to have it all the same. */
export function KeptForOthers(props: {
  needId: number
  /** What the shelf cannot give, minor units. */
  short: number
  unit: StockUnit
  kept: readonly KeptElsewhere[]
  mayTake: boolean
}) {
  const { needId, short, unit, mayTake } = props
  return props.kept.map((one) => {
    const quantity = Math.min(short, one.quantity)
    return (
      <div key={one.needId} className="stack tight">
        <p className="small">
          {quantityFormat(one.quantity, unit)} on the shelf for{' '}
          <Link href={paths.job(one.jobId)} prefetch={false}>
            job {one.job}
          </Link>
          , machine {one.machine}, {jobWhenSays(one)}
        </p>
        {mayTake ? (
          <details>
            <summary className="button quiet">
              Give {quantityFormat(quantity, unit)} of it to this job
              <span className="visually-hidden"> from job {one.job}</span>
            </summary>
            <ActionForm
              action={moveKept}
              formKey={freshKey()}
              submit="Give to this job"
              submitClassName="button"
              hidden={{ fromNeedId: one.needId, toNeedId: needId, quantity }}
              aria-label={`Give what is kept for job ${one.job} to this job`}
            >
              <Field
                name="reason"
                label="Why"
                hint={`Both jobs can read it. Ask whoever works on job ${one.job} first.`}
                maxLength={200}
                autoComplete="off"
              />
            </ActionForm>
          </details>
        ) : null}
      </div>
    )
  })
}
