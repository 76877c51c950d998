import type { Metadata } from 'next'
import Link from 'next/link'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { machinesList } from '@/lib/db/machine.ts'
import type { WinterStanding } from '@/lib/db/winter-run.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { weekLoads } from '@/lib/winter/load.ts'
import { type WinterView, winterView } from '@/lib/winter/view.ts'
import { chanceWords, choiceSays, runningSays, waitingSays } from '@/lib/winter/words.ts'
import { AtWork } from './at-work.tsx'
import { planOfAddress } from './plan-read.ts'
import { WeekList } from './week-list.tsx'
import { WeekTable } from './week-table.tsx'

export const metadata: Metadata = { title: 'Winter plan' }

interface Props {
  params: Promise<{ plan: string }>
}

export default async function WinterPage({ params }: Props) {
  const who = await signedIn()
  const standing = await planOfAddress((await params).plan)
  const { plan, facts, planned, answer } = standing
  const mayPlan = mayDo(who.roles, 'winter.plan')
  const view = winterView(facts, planned, answer)
  const loads = weekLoads(plan.work, planned, facts.today)
  const isOver = plan.endedAt !== null || facts.today > plan.work.until
  return (
    <main className="page" id="page">
      <PageHead up={paths.winters()} from="Winter" about="machines, weeks and what is missing" title={plan.name}>
        <nav className="row no-print" aria-label="Plan">
          <Link className={isOver ? 'button' : 'button primary'} href={paths.winterBuy(plan.id)} prefetch={false}>
            What to buy
          </Link>
          {facts.today >= plan.work.from ? (
            <Link className={isOver ? 'button primary' : 'button'} href={paths.winterReview(plan.id)} prefetch={false}>
              Review
            </Link>
          ) : null}
          <Link className="button" href={paths.winterBudgets(plan.id)} prefetch={false}>
            Budgets
          </Link>
          {mayPlan ? (
            <Link className="button" href={paths.winterChange(plan.id)} prefetch={false}>
              Change the plan
            </Link>
          ) : null}
        </nav>
      </PageHead>
      <div className="stack loose">
        <p>
          <When at={plan.work.from} /> to <When at={plan.work.until} />,{' '}
          {counted(view.machines.length, 'machine comes in', 'machines come in')},{' '}
          {loads ? 'as hours and bays allow.' : `${plan.work.machinesAWeek} a week.`}
          {plan.endedAt ? ' This plan is closed.' : null}
        </p>
        {isOver ? (
          <p className="caution">
            The season is over. What stands here is reckoned from what is known today, not from what was known then:
            what the plan said, and what came of it, is in its <Link href={paths.winterReview(plan.id)}>review</Link>.
          </p>
        ) : null}
        <AtWork standing={standing} mayPlan={mayPlan} />
        <Readiness standing={standing} />
        <Faults standing={standing} />
        {view.machines.length === 0 ? (
          <p className="empty">
            Nothing falls due by the last day. Give the models their services under Machines, or bring a machine in
            below.
          </p>
        ) : (
          <>
            <WeekTable planId={plan.id} view={view} loads={loads} />
            <WeekList planId={plan.id} view={view} facts={facts} loads={loads} />
          </>
        )}
        <Others planId={plan.id} view={view} standing={standing} />
      </div>
    </main>
  )
}

function Readiness({ standing: { answer, facts, plan } }: { standing: WinterStanding }) {
  if (answer === null) return null
  const left = answer.leftOut.map((id) => facts.parts.find((part) => part.id === id)?.number)
  return (
    <section className="stack tight" aria-label="Readiness">
      <p>
        As things stand, the chance that no machine waits for a part is {chanceWords(answer.now)}.{' '}
        <span className="strong">{choiceSays(answer.curve, answer.budgetMinor, facts.currency, answer.waits)}</span>{' '}
        {waitingSays(answer.machines)}{' '}
        <Link href={paths.winterBuy(plan.id)} prefetch={false}>
          {plan.budgetMinor === null ? 'Set a budget' : 'Look at the list'}
        </Link>
      </p>
      {left.length > 0 ? (
        <p className="caution">
          Not to be had: {left.join(', ')}. Some job waits for {left.length === 1 ? 'it' : 'them'} whatever is bought;
          what is said of the list is without {left.length === 1 ? 'it' : 'them'}.
        </p>
      ) : null}
      {facts.running === null ? null : <p className="soft">{runningSays(facts.running)}</p>}
      {answer.isAtLeast ? (
        <p className="soft">
          Some parts are needed together in too many ways to be reckoned with, and count each by itself: as a rule the
          chances are better than said.
        </p>
      ) : null}
      {answer.error > 0 ? (
        <p className="soft">
          Some of it was found by dice; what they leave open is {(answer.error * 200).toFixed(1)} points either way.
        </p>
      ) : null}
    </section>
  )
}

const FAULTS_OPEN = 3

function Faults({ standing: { answer, planned } }: { standing: WinterStanding }) {
  const faults = answer?.faults ?? planned.faults
  if (faults.length === 0) return null
  return (
    <details open={faults.length <= FAULTS_OPEN}>
      <summary className="button quiet">{counted(faults.length, 'thing')} to know or put right</summary>
      <ul className="stack tight">
        {faults.map(({ where, says, next }) => (
          <li key={`${where} ${says}`}>
            <span className="strong">{where}:</span> {says}. {next}
          </li>
        ))}
      </ul>
    </details>
  )
}

async function Others({ planId, view, standing }: { planId: number; view: WinterView; standing: WinterStanding }) {
  const isIn = new Set(view.machines.map(({ id }) => id))
  const others = (await machinesList()).filter(({ id }) => !isIn.has(id))
  const fleet = new Map(standing.facts.jobs.map(({ machineId, fleetNumber }) => [machineId, fleetNumber]))
  return (
    <section className="stack" aria-labelledby="others">
      <h2 id="others">Not in the plan</h2>
      {view.otherJobs.length > 0 ? (
        <ul className="plain-list stack tight">
          {view.otherJobs.map(({ job, machineId, work }) => (
            <li key={job.id}>
              <Link href={paths.job(job.id)} prefetch={false}>
                Job {job.number}
              </Link>
              , {fleet.get(machineId)}: its parts count, ready {work ? chanceWords(work.now) : '…'}
            </li>
          ))}
        </ul>
      ) : null}
      {others.length === 0 ? (
        <p className="soft">Every machine comes in.</p>
      ) : (
        <ul className="plain-list row">
          {others.map((machine) => (
            <li key={machine.id}>
              <Link className="button" href={paths.winterMachine(planId, machine.id)} prefetch={false}>
                {machine.fleetNumber} {machine.name}
              </Link>
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}
