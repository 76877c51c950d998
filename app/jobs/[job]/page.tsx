import Link from 'next/link'
import { idOf } from '@/app/_parts/found.ts'
import { When } from '@/app/_parts/when.tsx'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { addTarget } from '@/app/models/[model]/figures/[figure]/actions.ts'
import { TargetFields } from '@/app/models/[model]/figures/[figure]/target-fields.tsx'
import { paths } from '@/app/paths.ts'
import { figuresOfModel } from '@/lib/db/figure.ts'
import { jobPhotosRead } from '@/lib/db/job-photo.ts'
import { placeSays } from '@/lib/figure/shaft-end.ts'
import { jobWhenSays } from '@/lib/job/when.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { PRIORITIES } from '@/lib/stock/allocation.ts'
import { removeTarget, setWhen } from './actions.ts'
import { HandOver } from './hand-over.tsx'
import { jobRead } from './job-read.ts'
import { Photos } from './photos.tsx'

export const metadata = { title: 'Job' }

export default async function JobPage({ params }: { params: Promise<{ job: string }> }) {
  const who = await signedIn()
  const job = await jobRead(idOf((await params).job))
  const figures = await figuresOfModel(job.machine.modelId)
  const mayWork = job.state === 'open' && mayDo(who.roles, 'job.work')
  const photos = await jobPhotosRead(job.id)
  return (
    <>
      <dl className="facts">
        <dt>Opened</dt>
        <dd>
          <When at={job.openedAt} time /> by {job.openedBy}
        </dd>
        <dt>Hours</dt>
        <dd>
          {hoursFormat(job.hourTenths ?? job.machine.hourTenths)}
          {job.meterNotes.map((note) => (
            <span key={note.at.toISOString()} className="soft">
              , {hoursFormat(note.hourTenths)}: {note.reason}
            </span>
          ))}
        </dd>
        {job.state === 'open' ? (
          <>
            <dt>Parts</dt>
            <dd>{jobWhenSays(job)}</dd>
          </>
        ) : null}
        <dt>Kind</dt>
        <dd>{job.kind === 'service' ? 'service that was due' : 'repair'}</dd>
        {job.state === 'closed' ? (
          <>
            <dt>Closed</dt>
            <dd>{job.closedAt ? <When at={job.closedAt} time /> : null}</dd>
            <dt>Correction</dt>
            <dd>{job.correction}</dd>
          </>
        ) : null}
      </dl>
      {job.entryId !== null ? (
        <p>
          <Link href={paths.serviceBookEntry(job.machine.id, job.entryId)}>Entry in the service book</Link>
        </p>
      ) : null}
      {mayWork ? (
        <details>
          <summary className="button quiet">Say when the parts must be there</summary>
          <ActionForm
            action={setWhen}
            formKey={freshKey()}
            submit="Keep"
            submitClassName="button"
            hidden={{ jobId: job.id }}
            aria-label="When the parts must be there"
          >
            <Field name="needOn" label="Needed by (may be left empty)" type="date" defaultValue={job.needOn ?? ''} />
            <SelectField
              name="priority"
              label="How much it matters"
              hint="What the shelf has free is kept for jobs in this order, then by the day. What another job has already stays there."
              defaultValue={String(job.priority)}
            >
              {Object.entries(PRIORITIES).map(([priority, says]) => (
                <option key={priority} value={priority}>
                  {says}
                </option>
              ))}
            </SelectField>
          </ActionForm>
        </details>
      ) : null}
      <Photos jobId={job.id} stage="complaint" of="complaint" photos={photos} mayWork={mayWork} />
      <p>
        <Link href={paths.printJob(job.id)} prefetch={false}>
          Print the job card
        </Link>
      </p>
      <section className="stack tight" aria-labelledby="targets">
        <h2 id="targets">To renew</h2>
        {job.targets.length === 0 ? (
          <p className="empty">Nothing chosen yet. Open the figure that shows the failed part and tap its number.</p>
        ) : (
          <table className="parts fold">
            <thead>
              <tr>
                <th scope="col">Item</th>
                <th scope="col">Part</th>
                <th scope="col" className="right">
                  Quantity
                </th>
                <th scope="col">
                  <span className="visually-hidden">Take off the job</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {job.targets.map((target) => (
                <tr key={target.id}>
                  <td>
                    <span className="callout">{target.item}</span>
                  </td>
                  <td>
                    <Link href={paths.figure(job.machine.modelId, target.figureId, { job: job.id, item: target.item })}>
                      {target.description}
                    </Link>
                    {target.positions.length > 0 ? `, ${target.positions.map(placeSays).join(', ')}` : ''}
                    <br />
                    <span className="soft small">figure {target.figure}</span>
                    {mayWork && (target.places.length > 0 || target.stations !== null || target.ends.length > 0) ? (
                      <details>
                        <summary className="button quiet">
                          {target.positions.length > 0 ? 'Other places or number' : 'Say where'}
                          <span className="visually-hidden">: {target.description}</span>
                        </summary>
                        <ActionForm
                          action={addTarget}
                          formKey={freshKey()}
                          submit="Put it so on the job"
                          submitClassName="button"
                          hidden={{ jobId: job.id, figureId: target.figureId, lineId: target.lineId }}
                          aria-label={`Where ${target.item} ${target.description} is renewed`}
                        >
                          <TargetFields
                            positions={target.places}
                            before={target.positions}
                            stations={target.stations}
                            ends={target.ends}
                            perAssembly={target.perAssembly}
                            unit={target.unit}
                          />
                        </ActionForm>
                      </details>
                    ) : null}
                  </td>
                  <td className="right">{quantityFormat(target.quantity, target.unit)}</td>
                  <td>
                    {mayWork ? (
                      <ActionForm
                        action={removeTarget}
                        formKey={freshKey()}
                        className=""
                        submit={
                          <>
                            Remove<span className="visually-hidden"> {target.description}</span>
                          </>
                        }
                        submitClassName="button quiet"
                        hidden={{ jobId: job.id, targetId: target.id }}
                      />
                    ) : null}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
      </section>
      {mayWork ? (
        <>
          <section className="stack tight" aria-labelledby="figures">
            <h2 id="figures">{job.targets.length === 0 ? 'Find it on the drawing' : 'Something else as well'}</h2>
            {figures.length === 0 ? (
              <p className="soft">
                The parts book of {job.machine.model} has no figure yet.{' '}
                <Link href={paths.figureImport()}>Bring one in</Link>, or add parts by number under “Also needed”.
              </p>
            ) : (
              <ul className="plain-list columns">
                {figures.map((figure) => (
                  <li key={figure.id}>
                    <Link className="tick" href={paths.figure(job.machine.modelId, figure.id, { job: job.id })}>
                      <span className="number">{figure.number}</span> {figure.title}
                    </Link>
                  </li>
                ))}
              </ul>
            )}
          </section>
          {job.targets.length > 0 ? (
            <div className="main-action">
              <Link className="button primary" href={paths.jobNeeded(job.id)}>
                What else it needs
              </Link>
            </div>
          ) : null}
        </>
      ) : null}
      <HandOver jobId={job.id} mayWork={mayWork} />
    </>
  )
}
