import Link from 'next/link'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { setCheck } from '@/app/jobs/[job]/actions.ts'
import { paths } from '@/app/paths.ts'
import type { AfterRun } from '@/lib/db/job-check.ts'
import { When } from './when.tsx'

/** What is still to be done on machines that went back to work, each to be ticked where it stands. */
export function AfterRunList(props: { open: AfterRun[]; mayWork: boolean; named?: boolean }) {
  if (props.open.length === 0) return null
  return (
    <section className="caution stack tight" aria-labelledby="after-run">
      <h2 id="after-run">After the first loaded run</h2>
      <ul className="plain-list stack tight">
        {props.open.map((one) => (
          <li key={one.id} className="row spread">
            <span>
              {props.named ? (
                <>
                  <Link href={paths.machine(one.machineId)} className="strong">
                    {one.machine}
                  </Link>
                  :{' '}
                </>
              ) : null}
              {one.text}{' '}
              <span className="small soft">
                <Link href={paths.jobRebuild(one.jobId)}>job {one.jobNumber}</Link>, closed <When at={one.closedAt} />
              </span>
            </span>
            {props.mayWork && one.measures ? (
              <Link className="button" href={paths.jobRebuild(one.jobId)}>
                Measure
                <span className="visually-hidden">
                  : {one.machine}, {one.text}
                </span>
              </Link>
            ) : props.mayWork ? (
              <ActionForm
                action={setCheck}
                formKey={freshKey()}
                className=""
                submit={
                  <>
                    Done
                    <span className="visually-hidden">
                      : {one.machine}, {one.text}
                    </span>
                  </>
                }
                submitClassName="button"
                hidden={{ jobId: one.jobId, checkId: one.id, state: 'done' }}
              />
            ) : null}
          </li>
        ))}
      </ul>
    </section>
  )
}
