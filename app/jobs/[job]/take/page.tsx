import Link from 'next/link'
import { BatchName } from '@/app/_parts/batch-name.tsx'
import { Due } from '@/app/_parts/due.tsx'
import { idOf } from '@/app/_parts/found.ts'
import { OldUnitsAsked } from '@/app/_parts/old-units-asked.tsx'
import { QuantityField } from '@/app/_parts/quantity-field.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { SelectField } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { alternativesOf } from '@/lib/db/alternative.ts'
import { batchesOfJob, expiredOf } from '@/lib/db/batch-read.ts'
import { keptElsewhere } from '@/lib/db/job-kept.ts'
import { jobPickList } from '@/lib/db/job-parts.ts'
import { partsOnOrder } from '@/lib/db/part.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { positionsSay } from '@/lib/job/need-rows.ts'
import { pickRows } from '@/lib/job/pick-list.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { batchSays } from '@/lib/stock/batch.ts'
import { putBack, take } from '../actions.ts'
import styles from '../job.module.css'
import { jobRead } from '../job-read.ts'
import { Alternatives } from './alternatives.tsx'
import { Expired } from './expired.tsx'
import { KeptForOthers } from './kept-for-others.tsx'
import { PickLines } from './pick-lines.tsx'
import { TakenMeanwhile } from './taken-meanwhile.tsx'

export const metadata = { title: 'Pick list' }

export default async function TakePage({ params }: { params: Promise<{ job: string }> }) {
  const who = await signedIn()
  const job = await jobRead(idOf((await params).job))
  const list = await jobPickList(job.id)
  const bins = await binsList()
  const needOf = new Map(job.needs.map((need) => [need.id, need]))
  const takenNeeds = job.needs.filter((need) => need.taken > 0)
  const others = await alternativesOf(list.short.map((line) => line.partId))
  const coming = await partsOnOrder(list.short.map((line) => line.partId))
  const kept = await keptElsewhere(
    job.id,
    list.short.map((line) => line.partId),
  )
  const today = todayIs()
  const [batches, expired] = await Promise.all([
    batchesOfJob(job.id),
    expiredOf(
      list.short.map((line) => line.partId),
      today,
    ),
  ])
  const rows = pickRows(list.lines).length
  const mayTake = job.state === 'open' && mayDo(who.roles, 'stock.issue')
  return (
    <>
      <div className="row spread">
        <h2>Pick list, in the order of the bins</h2>
        <Link href={paths.printPickList(job.id)} prefetch={false}>
          Print the pick list
        </Link>
      </div>
      {list.lines.length === 0 ? (
        <p className="empty">
          {list.short.length > 0
            ? 'What is still wanted is not on the shelf, or kept for other jobs.'
            : takenNeeds.length > 0
              ? 'Everything is taken.'
              : 'Nothing is accepted yet.'}{' '}
          {takenNeeds.length === 0 ? <Link href={paths.jobNeeded(job.id)}>See what the job needs</Link> : null}
        </p>
      ) : (
        <ActionForm
          action={take}
          formKey={freshKey()}
          hidden={{ jobId: job.id, seen: takenSeen(list.lines, needOf) }}
          aria-label="Take from the shelf"
        >
          <TakenMeanwhile list={paths.jobTake(job.id)} />
          <PickLines lines={list.lines} needOf={needOf} mayTake={mayTake} />
          {mayTake ? (
            <div className="main-action">
              <SubmitButton>
                {rows === 1 ? 'Take from shelf' : `Take from shelf, all ${counted(rows, 'line')}`}
              </SubmitButton>
            </div>
          ) : (
            <p className="soft">A mechanic or a storekeeper takes parts.</p>
          )}
        </ActionForm>
      )}
      {list.short.length > 0 ? (
        <section className="stack tight" aria-labelledby="short">
          <h2 id="short">Not on the shelf, or kept for other jobs</h2>
          <ul className="plain-list stack tight">
            {list.short.map((line) => {
              const need = needOf.get(line.needId)!
              const order = coming.get(line.partId)
              return (
                <li key={line.needId}>
                  <span aria-hidden="true">☐</span> {quantityFormat(line.quantity, need.part!.unit)} x{' '}
                  {need.description}
                  {need.kind === 'part' && need.positions.length > 0 ? ` (${positionsSay(need.positions)})` : ''}{' '}
                  <Link href={paths.part(line.partId)} className="number">
                    {need.part!.number}
                  </Link>
                  {order ? (
                    <>
                      {' '}
                      - on order {order.number}, <Due on={order.dueOn} />
                    </>
                  ) : (
                    <span className="soft"> - on the buyer’s order list</span>
                  )}
                  <KeptForOthers
                    needId={line.needId}
                    short={line.quantity}
                    unit={need.part!.unit}
                    kept={kept.get(line.partId) ?? []}
                    mayTake={mayTake}
                  />
                  <Expired
                    jobId={job.id}
                    needId={line.needId}
                    short={line.quantity}
                    unit={need.part!.unit}
                    lines={expired.get(line.partId) ?? []}
                    today={today}
                    mayTake={mayTake}
                  />
                  <Alternatives
                    jobId={job.id}
                    needId={line.needId}
                    short={line.quantity}
                    others={others.get(line.partId) ?? []}
                    mayTake={mayTake}
                  />
                </li>
              )
            })}
          </ul>
        </section>
      ) : null}
      {takenNeeds.length > 0 ? (
        <section className="stack tight" aria-labelledby="taken">
          <h2 id="taken">Taken</h2>
          <div className={styles.needs}>
            {takenNeeds.map((need) => (
              <div key={need.id} className={styles.need}>
                <p>
                  <span className="strong">{quantityFormat(need.taken, need.part!.unit)}</span> x {need.description}
                  {need.kind === 'part' && need.positions.length > 0 ? ` (${positionsSay(need.positions)})` : ''}{' '}
                  <span className="number small">{need.part!.number}</span>
                  {need.insteadOf ? <span className="small"> {need.insteadOf}</span> : null}
                  {(batches.get(need.id) ?? []).map((batch) => (
                    <span key={batch.id} className="small">
                      {', '}
                      <BatchName batch={batch} today={today} link />
                    </span>
                  ))}
                </p>
                {mayTake ? (
                  <details>
                    <summary className="button quiet">
                      Put back<span className="visually-hidden"> {need.description}</span>
                    </summary>
                    <ActionForm
                      action={putBack}
                      formKey={freshKey()}
                      className="row end"
                      hidden={{ jobId: job.id, needId: need.id }}
                    >
                      <QuantityField
                        name="quantity"
                        label="How many were not used"
                        unit={need.part!.unit}
                        value={need.taken}
                      />
                      <SelectField
                        name="binId"
                        label="Into bin"
                        defaultValue={String(
                          bins.find((bin) => bin.code === need.bins[0]?.bin)?.id ?? bins[0]?.id ?? '',
                        )}
                      >
                        {bins.map((bin) => (
                          <option key={bin.id} value={bin.id}>
                            {bin.code}, {bin.store}
                          </option>
                        ))}
                      </SelectField>
                      {(batches.get(need.id) ?? []).length > 1 ? (
                        <SelectField name="batchId" label="Of batch" defaultValue="">
                          <option value="">All that were taken</option>
                          {batches.get(need.id)!.map((batch) => (
                            <option key={batch.id} value={batch.id}>
                              {batchSays(batch)} ({quantityFormat(batch.quantity, need.part!.unit)})
                            </option>
                          ))}
                        </SelectField>
                      ) : null}
                      <SubmitButton className="button">Put back</SubmitButton>
                    </ActionForm>
                  </details>
                ) : null}
              </div>
            ))}
          </div>
        </section>
      ) : null}
      <OldUnitsAsked jobId={job.id} roles={who.roles} />
      {job.state === 'open' && list.lines.length === 0 && takenNeeds.length > 0 ? (
        <div className="main-action">
          <Link className="button primary" href={paths.jobStrip(job.id)}>
            Strip order
          </Link>
          <Link className="button" href={paths.jobRebuild(job.id)}>
            Rebuild and test
          </Link>
        </div>
      ) : null}
    </>
  )
}

/** What had been taken of each need on the list when it was shown, as the form sends it. */
function takenSeen(lines: readonly { needId: number }[], needOf: ReadonlyMap<number, { taken: number }>): string {
  const needIds = [...new Set(lines.map((line) => line.needId))]
  return needIds.map((needId) => `${needId}:${needOf.get(needId)!.taken}`).join(',')
}
