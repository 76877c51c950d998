import { idOf } from '@/app/_parts/found.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { ruleBookNow } from '@/lib/db/companion-rule.ts'
import type { CheckView } from '@/lib/db/job-read.ts'
import { jobTimes } from '@/lib/db/job-time.ts'
import { measureLimitsSay } from '@/lib/job/measurement.ts'
import { needRows } from '@/lib/job/need-rows.ts'
import { estimateSays } from '@/lib/job/time-estimate.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { PrintedCautions } from '../../_parts/cautions.tsx'
import { Box, Part, Sheet, Steps, WriteOn } from '../../_parts/sheet.tsx'
import { NeedTable } from './need-table.tsx'
import { jobFacts, jobFoot, printJob } from './print-job.ts'

export const metadata = { title: 'Job card' }

/** The whole job on paper, for the bench: what was told, what comes off, what is needed, how it goes back, and room to write. */
export default async function JobCardPage({ params }: { params: Promise<{ job: string }> }) {
  await signedIn()
  const job = await printJob(idOf((await params).job), paths.printJob)
  const { known } = await ruleBookNow()
  const times = await jobTimes(job.id)
  const shown = job.needs.filter((need) => need.state === 'open' || need.state === 'accepted')
  const rows = needRows(shown, known)
  const fetched = rows.filter((row) => row.stage === null)
  const targets = fetched.filter((row) => row.needs[0]!.origin !== 'suggestion')
  const also = fetched.filter((row) => row.needs[0]!.origin === 'suggestion')
  const acts = rows.filter((row) => row.stage !== null).flatMap((row) => row.needs)
  const steps = (kind: string) => job.checks.filter((check) => check.kind === kind)
  const table = { jobId: job.id, today: todayIs() }
  return (
    <Sheet
      title={`Job card ${job.number}${job.state === 'closed' ? ', closed' : ''}`}
      back={{ href: paths.job(job.id), says: 'Back to the job' }}
      foot={jobFoot(job)}
      facts={[...jobFacts(job), ['Kind', job.kind === 'service' ? 'service' : 'repair'] as const]}
    >
      <Part title="Complaint">
        <p>{job.complaint}</p>
        {job.machine.state === 'unsafe' && job.state === 'open' ? (
          <p className="strong">Unsafe, do not use the machine before the tests are done.</p>
        ) : null}
      </Part>
      <PrintedCautions jobId={job.id} stages={['before', 'strip']} />
      <Part title="To renew">
        {targets.length > 0 ? <NeedTable rows={targets} {...table} /> : <p>Nothing chosen yet.</p>}
        {job.figures.length > 0 ? (
          <p className="small">Figures: {job.figures.map((figure) => `${figure.number} ${figure.title}`).join('; ')}</p>
        ) : null}
      </Part>
      {steps('strip').length > 0 ? (
        <Part title="Strip, the outermost first">
          {times.map((time) => (
            <p key={time.figureId} className="small">
              Time{times.length > 1 ? ` on figure ${time.figure}` : ''}: {estimateSays(time.estimate)}.
            </p>
          ))}
          <Steps steps={steps('strip')} />
        </Part>
      ) : null}
      {also.length > 0 ? (
        <Part title="Also needed">
          <NeedTable rows={also} {...table} />
        </Part>
      ) : null}
      {acts.length > 0 ? (
        <Part title="To do and to have at hand">
          <Steps
            steps={acts.map((need) => ({
              id: need.id,
              text: `${need.description} (${need.strength}${need.state === 'open' ? ', not decided' : ''})`,
              state: 'open',
              note: null,
              by: null,
            }))}
          />
        </Part>
      ) : null}
      <PrintedCautions jobId={job.id} stages={['rebuild', 'test']} />
      {steps('rebuild').length > 0 ? (
        <Part title="Rebuild">
          <Steps steps={steps('rebuild')} />
        </Part>
      ) : null}
      <Part title="Tests before release">
        {steps('test').length > 0 ? (
          <Steps steps={steps('test').map(measuredOnPaper)} />
        ) : (
          <p>The figure names no tests. Test as the maker’s manual asks.</p>
        )}
      </Part>
      {steps('after-run').length > 0 ? (
        <Part title="After the first loaded run">
          <Steps steps={steps('after-run')} />
        </Part>
      ) : null}
      <Part title="Written up">
        <WriteOn
          lines={[
            { says: 'Cause', filled: job.cause, rows: 2 },
            { says: 'Correction', filled: job.correction, rows: 4 },
            {
              says: 'Hours',
              filled: job.state === 'closed' && job.hourTenths !== null ? hoursFormat(job.hourTenths) : '',
            },
            { says: 'Labour, min', filled: job.labourMinutes > 0 ? String(job.labourMinutes) : '' },
            { says: 'Found besides', rows: 2 },
            { says: 'Name, date' },
          ]}
        />
        <p>
          <Box says="Machine released to work" done={job.state === 'closed'} />
        </p>
      </Part>
      <p className="small">Where the maker’s manual says otherwise, it rules.</p>
    </Sheet>
  )
}

/** With room to write the value, or the value, and its limits. */
function measuredOnPaper(check: CheckView): CheckView {
  const { measure, measured } = check
  if (!measure) return check
  const value = measured ?? '............'
  return { ...check, text: `${check.text} ${measure.what}: ${value} ${measure.unit} (${measureLimitsSay(measure)})` }
}
