import Link from 'next/link'
import { Cautions } from '@/app/_parts/cautions.tsx'
import { idOf } from '@/app/_parts/found.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { jobPhotosRead } from '@/lib/db/job-photo.ts'
import type { CheckView, NeedView } from '@/lib/db/job-read.ts'
import { endsAmong, isShaftEnd } from '@/lib/figure/shaft-end.ts'
import type { PhotoStage } from '@/lib/job/flow-schema.ts'
import { positionsSay } from '@/lib/job/need-rows.ts'
import { stepKeyRead } from '@/lib/job/step-key.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { CheckList } from '../check-list.tsx'
import { jobRead } from '../job-read.ts'
import { Photos } from '../photos.tsx'

export const metadata = { title: 'Rebuild and test' }

export default async function RebuildPage({ params }: { params: Promise<{ job: string }> }) {
  const who = await signedIn()
  const job = await jobRead(idOf((await params).job))
  const mayWork = job.state === 'open' && mayDo(who.roles, 'job.work')
  const steps = job.checks.filter((check) => check.kind === 'rebuild')
  const tests = job.checks.filter((check) => check.kind === 'test')
  const afterRun = job.checks.filter((check) => check.kind === 'after-run')
  const treatments = job.needs.filter(
    (need) =>
      need.origin === 'suggestion' &&
      need.item !== null &&
      // What is to be done stands here until somebody leaves it out: at the wrench is where it counts.
      (need.kind === 'act' ? need.state !== 'declined' : need.kind !== 'part' && need.state === 'accepted'),
  )
  const photos = await jobPhotosRead(job.id)
  const photosAt = (stage: PhotoStage) => (step: CheckView) => (
    <Photos jobId={job.id} stage={stage} stepKey={step.key} of={step.text} photos={photos} mayWork={mayWork} />
  )
  /** Paste, locking and grease at the step where the part goes back, and the torque that follows from them. */
  const atStep = (step: CheckView) =>
    treatments.filter((need) => {
      const at = stepKeyRead(step.key)
      if (at === null || at.around !== null || at.item !== need.item) return false
      const codes = need.positions.filter((code) => !isShaftEnd(code))
      const isHere = at.side === null || codes.length === 0 || codes.includes(at.side)
      const ends = endsAmong(need.positions)
      const isThisEnd = at.end === null || ends.length === 0 || ends.some((end) => end === at.end)
      return isHere && isThisEnd && need.key.startsWith(`${at.figureId}:`)
    })
  const elsewhere = treatments.filter((need) => !steps.some((step) => atStep(step).includes(need)))
  return (
    <>
      <Cautions jobId={job.id} stages={['rebuild', 'test']} />
      <h2>Rebuild</h2>
      {steps.length === 0 ? (
        <p className="empty">Nothing was stripped on the drawing, so nothing stands here.</p>
      ) : (
        <CheckList
          jobId={job.id}
          checks={steps}
          mayWork={mayWork}
          with={(step) => <Treatments needs={atStep(step)} />}
          after={photosAt('rebuild')}
        />
      )}
      <p>
        <Link href={paths.fasteners()} prefetch={false}>
          Split pin sizes, torques, wheel nuts and grease
        </Link>{' '}
        when the manual is not at hand.
      </p>
      {elsewhere.length > 0 ? (
        <section className="stack tight" aria-labelledby="treat">
          <h3 id="treat">At the joints</h3>
          <Treatments needs={elsewhere} named />
        </section>
      ) : null}
      <h2>Tests before release</h2>
      {tests.length === 0 ? (
        <p className="soft">
          The figure names no tests. Test as the maker’s manual asks and write it into the correction.
          {mayDo(who.roles, 'catalogue.edit')
            ? job.figures.map((figure) => (
                <Link key={figure.id} href={paths.figureTests(job.machine.modelId, figure.id)} prefetch={false}>
                  {' '}
                  Write the tests of figure {figure.number}
                </Link>
              ))
            : null}
        </p>
      ) : (
        <CheckList jobId={job.id} checks={tests} mayWork={mayWork} maySetAside after={photosAt('test')} />
      )}
      {afterRun.length > 0 ? (
        <section className="stack tight" aria-labelledby="after-run">
          <h2 id="after-run">After the first loaded run</h2>
          <p className="soft">
            {job.state === 'open'
              ? 'The job is closed before: the machine and Today show this until somebody ticks it.'
              : 'Tick it when it was done.'}
          </p>
          <CheckList jobId={job.id} checks={afterRun} mayWork={mayDo(who.roles, 'job.work')} maySetAside />
        </section>
      ) : null}
      {mayWork ? (
        <div className="main-action">
          <Link className="button primary" href={paths.jobClose(job.id)}>
            Write the service book
          </Link>
        </div>
      ) : null}
    </>
  )
}

function Treatments({ needs, named = false }: { needs: readonly NeedView[]; named?: boolean }) {
  if (needs.length === 0) return null
  return (
    <ul className="plain-list">
      {needs.map((need) => (
        <li key={need.id}>
          {named ? <span className="callout">{need.item}</span> : <span aria-hidden="true">+</span>}{' '}
          {need.kind === 'act' ? need.description : `${quantityFormat(need.wanted, need.unit)} ${need.description}`}
          {/* Each side has a step of its own, and the amount is that of both. */}
          {need.kind !== 'act' && need.positions.length > 1 ? `, for ${positionsSay(need.positions)} together` : ''}
        </li>
      ))}
    </ul>
  )
}
