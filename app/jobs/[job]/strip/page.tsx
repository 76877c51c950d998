import Link from 'next/link'
import { Cautions } from '@/app/_parts/cautions.tsx'
import { idOf } from '@/app/_parts/found.ts'
import { OldUnitsAsked } from '@/app/_parts/old-units-asked.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { jobPhotosRead } from '@/lib/db/job-photo.ts'
import { jobTimes } from '@/lib/db/job-time.ts'
import { stepsLeftSay } from '@/lib/job/step-key.ts'
import { estimateSays } from '@/lib/job/time-estimate.ts'
import { mayDo } from '@/lib/people/role.ts'
import { CheckList } from '../check-list.tsx'
import { Found, OtherSides } from '../found.tsx'
import { jobRead } from '../job-read.ts'
import { Photos } from '../photos.tsx'

export const metadata = { title: 'Strip order' }

export default async function StripPage({ params }: { params: Promise<{ job: string }> }) {
  const who = await signedIn()
  const job = await jobRead(idOf((await params).job))
  const steps = job.checks.filter((check) => check.kind === 'strip')
  const times = await jobTimes(job.id)
  const mayWork = job.state === 'open' && mayDo(who.roles, 'job.work')
  const photos = await jobPhotosRead(job.id)
  const left = steps.filter((step) => step.state === 'open').length
  return (
    <>
      <Cautions jobId={job.id} stages={['before', 'strip']} />
      <OldUnitsAsked jobId={job.id} roles={who.roles} />
      <h2>Strip order</h2>
      {steps.length === 0 ? (
        <p className="empty">
          Nothing to strip yet. <Link href={paths.job(job.id)}>Choose what is to be renewed</Link> and the order stands
          here.
        </p>
      ) : (
        <>
          <p className="soft">
            {left === 0 ? 'All off.' : `Left to strip: ${stepsLeftSay(steps)}.`} Everything that must come off to get
            there, the outermost first. Where the maker’s manual says otherwise, it rules.
          </p>
          {times.map((time) => (
            <p key={time.figureId}>
              Time for the whole job{times.length > 1 ? ` on figure ${time.figure}` : ''}: {estimateSays(time.estimate)}
              .
            </p>
          ))}
          <CheckList
            jobId={job.id}
            checks={steps}
            mayWork={mayWork}
            after={(step) => (
              <>
                {mayWork ? <Found jobId={job.id} step={step} /> : null}
                <Photos
                  jobId={job.id}
                  stage="strip"
                  stepKey={step.key}
                  of={step.text}
                  photos={photos}
                  mayWork={mayWork}
                />
              </>
            )}
          />
          {mayWork ? <OtherSides jobId={job.id} /> : null}
        </>
      )}
    </>
  )
}
