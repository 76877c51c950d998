import Link from 'next/link'
import { idOf } from '@/app/_parts/found.ts'
import { MeterField } from '@/app/_parts/meter-field.tsx'
import { OldUnitsAsked } from '@/app/_parts/old-units-asked.tsx'
import { SignatureField } from '@/app/_parts/signature-field.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { handOverRead } from '@/lib/db/job-hand-over.ts'
import { jobsList } from '@/lib/db/job-read.ts'
import { positionsSay } from '@/lib/job/need-rows.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat, moneyOfQuantity } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { workDone } from '../actions.ts'
import { jobRead } from '../job-read.ts'
import { WordsField } from './words-field.tsx'
import { WordsVersion } from './words-version.tsx'

export const metadata = { title: 'Service book' }

export default async function ClosePage({ params }: { params: Promise<{ job: string }> }) {
  const who = await signedIn()
  const job = await jobRead(idOf((await params).job))
  const { currency } = settingsRead()
  const handOver = await handOverRead(job.id)
  const others = (await jobsList({ state: 'open', machineId: job.machine.id })).filter((one) => one.id !== job.id)
  if (job.entryId !== null)
    return (
      <p>
        This job is closed.{' '}
        <Link href={paths.serviceBookEntry(job.machine.id, job.entryId)}>Entry in the service book</Link>
      </p>
    )
  const open = job.needs.filter((need) => need.state === 'open' && need.strength !== 'consider')
  const undecided = open.filter((need) => need.kind !== 'act' && need.strength === 'must')
  const leftOpen = open.filter((need) => !undecided.includes(need))
  const testsOpen = job.checks.filter((check) => check.kind === 'test' && check.state === 'open')
  const notTaken = job.needs.filter(
    (need) => need.kind !== 'act' && need.state === 'accepted' && need.taken < need.wanted,
  )
  const fitted = job.needs.filter((need) => need.part && need.taken > 0)
  const cost = (need: (typeof fitted)[number]) =>
    moneyOfQuantity(need.part!.costMinor ?? 0, need.taken, need.part!.unit)
  return (
    <>
      <h2>What goes into the service book</h2>
      {fitted.length === 0 ? (
        <p className="soft">No parts were taken.</p>
      ) : (
        <table className="parts fold">
          <caption>Fitted and used: what was taken and not put back</caption>
          <thead>
            <tr>
              <th scope="col">Part</th>
              <th scope="col" className="right">
                Quantity
              </th>
              <th scope="col" className="right">
                Cost
              </th>
            </tr>
          </thead>
          <tbody>
            {fitted.map((need) => (
              <tr key={need.id}>
                <td className="wide">
                  {need.description}
                  {need.kind === 'part' && need.positions.length > 0 ? ` (${positionsSay(need.positions)})` : ''}{' '}
                  <span className="number small">{need.part!.number}</span>
                </td>
                <td className="right">{quantityFormat(need.taken, need.part!.unit)}</td>
                <td className="right">{moneyFormat(cost(need), currency)}</td>
              </tr>
            ))}
            <tr>
              <td className="strong">Parts</td>
              <td />
              <td className="right strong">
                {moneyFormat(
                  fitted.reduce((sum, need) => sum + cost(need), 0),
                  currency,
                )}
              </td>
            </tr>
          </tbody>
        </table>
      )}
      {undecided.length + testsOpen.length + notTaken.length > 0 ? (
        <ul className="plain-list caution stack tight">
          {undecided.length > 0 ? (
            <li>
              A must and not decided yet: {namesOf(undecided)}. <Link href={paths.jobNeeded(job.id)}>Decide</Link>
            </li>
          ) : null}
          {testsOpen.length > 0 ? (
            <li>
              {counted(testsOpen.length, 'test')} before release still open.{' '}
              <Link href={paths.jobRebuild(job.id)}>To the tests</Link>
            </li>
          ) : null}
          {notTaken.length > 0 ? (
            <li>
              Accepted and not, or not all, taken: {namesOf(notTaken)}. The entry will say that they were not fitted.{' '}
              <Link href={paths.jobTake(job.id)}>Take them</Link>
            </li>
          ) : null}
        </ul>
      ) : null}
      {leftOpen.length > 0 ? (
        <p className="small soft">
          Left open: {leftOpenSays(leftOpen)}. <Link href={paths.jobNeeded(job.id)}>See them</Link>
        </p>
      ) : null}
      <OldUnitsAsked jobId={job.id} roles={who.roles} />
      {mayDo(who.roles, 'job.close') ? (
        <CloseForms
          job={job}
          asksWhy={notTaken.some((need) => need.kind === 'part' && need.strength === 'must')}
          byDay={handOver.labour.length > 0}
          isUnsafe={job.machine.state === 'unsafe'}
          others={others}
        />
      ) : (
        <p className="soft">A mechanic closes the job.</p>
      )}
    </>
  )
}

function CloseForms(props: {
  job: Awaited<ReturnType<typeof jobRead>>
  asksWhy: boolean
  /** Labour is written by person and day. */
  byDay: boolean
  isUnsafe: boolean
  /** Other open jobs of the machine: only the last one lets it go to work. */
  others: readonly { id: number; number: number }[]
}) {
  const { job, asksWhy, byDay, isUnsafe, others } = props
  return (
    <ActionForm
      action={workDone}
      formKey={freshKey()}
      hidden={{
        jobId: job.id,
        machineId: job.machine.id,
        ...(byDay ? { labourMinutes: job.labourMinutes } : {}),
      }}
      aria-label="Close the job"
    >
      <WordsVersion version={job.wordsVersion} />
      <WordsField
        name="complaint"
        label="Complaint"
        hint="What was wrong, as the driver told it."
        defaultValue={job.complaint}
      />
      <WordsField name="cause" label="Cause" hint="What had failed, and why." defaultValue={job.cause} />
      <WordsField name="correction" label="Correction" hint="What was done." defaultValue={job.correction} />
      {asksWhy ? (
        <WordsField
          name="notFitted"
          label="Why musts were not fitted"
          hint="Something that must be renewed was accepted and not taken. The entry keeps your reason."
          defaultValue={job.notFitted}
        />
      ) : null}
      <div className="row end">
        {byDay ? (
          <p>
            Labour {job.labourMinutes} min, by person and day. <Link href={paths.job(job.id)}>Change</Link>
          </p>
        ) : (
          <Field
            name="labourMinutes"
            label="Labour, minutes"
            inputMode="numeric"
            className="input-number"
            defaultValue={String(job.labourMinutes)}
          />
        )}
        {/* The machine's figure, not the job's: somebody may have read the meter since the job was opened. */}
        <MeterField label="Hour meter" className="input-number" defaultValue={String(job.machine.hourTenths / 10)} />
      </div>
      {others.length > 0 ? (
        <p className={isUnsafe ? 'caution' : 'soft small'}>
          {isUnsafe ? 'The machine stays marked unsafe: ' : 'The machine is not released yet: '}
          {others.map((one, at) => (
            <span key={one.id}>
              {at > 0 ? ', ' : ''}
              <Link href={paths.job(one.id)}>job {one.number}</Link>
            </span>
          ))}{' '}
          {others.length === 1 ? 'is' : 'are'} open on it too. The entry is frozen.
        </p>
      ) : (
        <>
          {isUnsafe ? <SignatureField /> : null}
          <p className="soft small">
            By closing you release the machine to work. Only somebody qualified for it does that, after the tests in the
            maker’s manual. The entry is frozen.
          </p>
        </>
      )}
      <div className="main-action">
        <SubmitButton name="intent" value="close">
          Close into the service book
        </SubmitButton>
        <SubmitButton name="intent" value="keep" className="button">
          Keep, close later
        </SubmitButton>
      </div>
    </ActionForm>
  )
}

/** Each thing once, however many sides and lines it stands on. */
function namesOf(needs: readonly { description: string }[]): string {
  return [...new Set(needs.map((need) => need.description))].join('; ')
}

/** Parts by name; what was to be done is counted, since its words are long and stand on the screen before. */
function leftOpenSays(needs: readonly { kind: string; description: string }[]): string {
  const goods = needs.filter((need) => need.kind !== 'act')
  const acts = new Set(needs.filter((need) => need.kind === 'act').map((need) => need.description)).size
  return [namesOf(goods), acts > 0 ? `${counted(acts, 'thing')} to do` : ''].filter((part) => part !== '').join('; ')
}
