import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { peopleList } from '@/lib/db/people.ts'
import { winterPlans } from '@/lib/db/winter.ts'
import { mayDo } from '@/lib/people/role.ts'
import { seasonName, seasonProposed } from '@/lib/winter/season.ts'
import { begin } from './actions.ts'
import { SeasonFields } from './season-fields.tsx'

export const metadata: Metadata = { title: 'Winter' }

/** Machines that a small workshop does in a week; common practice, no source. */
const MACHINES_A_WEEK = 2
const WORKDAYS = [1, 2, 3, 4, 5]

export default async function WintersPage() {
  const who = await signedIn()
  const [plans, everybody] = await Promise.all([winterPlans(), peopleList()])
  const people = everybody.filter(({ active }) => active).map(({ personId, name }) => ({ personId, name }))
  const mayPlan = mayDo(who.roles, 'winter.plan')
  const proposed = seasonProposed(
    todayIs(),
    plans.map(({ work }) => work),
  )
  const work = { ...proposed, machinesAWeek: MACHINES_A_WEEK, workdays: WORKDAYS, shut: [] }
  const form = (
    <ActionForm action={begin} formKey={freshKey()} aria-label="A new plan">
      <SeasonFields name={seasonName(proposed)} work={work} people={people} />
      <div className="main-action">
        <SubmitButton>Plan the winter</SubmitButton>
      </div>
    </ActionForm>
  )
  return (
    <main className="page" id="page">
      <PageHead up={paths.buying()} from="Buying" about="machines, weeks and parts of a season" title="Winter" />
      <div className="stack loose">
        {plans.length > 0 ? (
          <ul className="plain-list stack">
            {plans.map((plan) => (
              <li key={plan.id}>
                <Link href={paths.winter(plan.id)} className="strong">
                  {plan.name}
                </Link>{' '}
                {plan.endedAt ? <span className="badge">closed</span> : null}
                <br />
                <When at={plan.work.from} /> to <When at={plan.work.until} />
              </li>
            ))}
          </ul>
        ) : (
          <p>
            Which machines come in, in which week, what they will take and what to order for it. Services that fall due
            by the last day come in by themselves; every week and every quantity can be changed afterwards.
          </p>
        )}
        {mayPlan ? (
          plans.length === 0 ? (
            <section className="sheet">{form}</section>
          ) : (
            <details>
              <summary className="button">Another plan</summary>
              {form}
            </details>
          )
        ) : (
          <MayNot right="winter.plan" />
        )}
      </div>
    </main>
  )
}
