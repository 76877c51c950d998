import { notFound } from 'next/navigation'
import { idOf } from '@/app/_parts/found.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { jobService, type TaskView } from '@/lib/db/service-job.ts'
import { positionsSay } from '@/lib/job/need-rows.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { PrintedCautions } from '../../../_parts/cautions.tsx'
import { ServiceLines, type ServiceSheetLine } from '../../../_parts/service-lines.tsx'
import { Part, Sheet, Steps, WriteOn } from '../../../_parts/sheet.tsx'
import { jobFacts, jobFoot, printJob } from '../print-job.ts'

export const metadata = { title: 'Service sheet' }

const ANSWERS: Record<TaskView['state'], string | null> = {
  open: null,
  good: 'good',
  renewed: 'renew',
  done: 'done',
  'not-applicable': 'does not apply',
}

/** A service job to take along: what is renewed in any case, what is looked at, what is done. */
export default async function ServiceSheetPage({ params }: { params: Promise<{ job: string }> }) {
  await signedIn()
  const job = await printJob(idOf((await params).job), paths.printService)
  const service = await jobService(job.id)
  if (service === null) notFound()
  const line = (task: TaskView): ServiceSheetLine => ({
    id: task.id,
    text: task.text,
    says: [task.part?.number ?? '', task.chance ?? ''].filter((words) => words !== '').join(', '),
    answer: ANSWERS[task.state],
    note: [task.note ?? '', task.by ?? ''].filter((words) => words !== '').join(', ') || null,
  })
  const renewed = job.needs.filter(
    (need) => need.origin !== 'suggestion' && need.state === 'accepted' && need.part !== null,
  )
  const tests = job.checks.filter((check) => check.kind === 'test')
  return (
    <Sheet
      title={service.names.join(', ')}
      back={{ href: paths.jobService(job.id), says: 'Back to the service' }}
      foot={jobFoot(job)}
      facts={[['Job', String(job.number)], ...jobFacts(job)]}
    >
      <PrintedCautions jobId={job.id} stages={['before', 'strip']} />
      <Part title="Service">
        <ServiceLines
          title="Renewed in any case"
          answers={['renewed', 'does not apply']}
          lines={renewed.map((need) => ({
            id: need.id,
            text: `${quantityFormat(need.wanted, need.unit)} x ${need.description}${need.kind === 'part' && need.positions.length > 0 ? ` (${positionsSay(need.positions)})` : ''}`,
            says: [need.part!.number, need.item === null ? '' : `item ${need.item}`, ...need.bins.map((bin) => bin.bin)]
              .filter((words) => words !== '')
              .join(', '),
            // Taken is not fitted yet: that is ticked at the machine.
            answer: job.state === 'closed' && need.taken > 0 ? 'renewed' : null,
            note: null,
          }))}
        />
        <ServiceLines
          title="Look at, renew on condition"
          answers={['good', 'renew', 'does not apply']}
          lines={service.tasks.filter((task) => task.kind === 'look').map(line)}
        />
        <ServiceLines
          title="Check, adjust, grease"
          answers={['done', 'does not apply']}
          lines={service.tasks.filter((task) => task.kind === 'act').map(line)}
        />
      </Part>
      {service.leftOut.length > 0 ? (
        <Part title="Left out: this machine does not have it">
          <ul className="plain-list">
            {service.leftOut.map(({ text, why }) => (
              <li key={text}>
                {text} - {why}
              </li>
            ))}
          </ul>
        </Part>
      ) : null}
      <PrintedCautions jobId={job.id} stages={['rebuild', 'test']} />
      {tests.length > 0 ? (
        <Part title="Tests before release">
          <Steps steps={tests} />
        </Part>
      ) : null}
      <Part title="Written up">
        <WriteOn
          lines={[
            { says: 'Hours' },
            { says: 'Found besides', rows: 3 },
            { says: 'Labour, min' },
            { says: 'Name, date' },
          ]}
        />
      </Part>
      <p className="small">Where the maker’s manual says otherwise, it rules.</p>
    </Sheet>
  )
}
