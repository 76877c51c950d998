import type { Metadata } from 'next'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { peopleList } from '@/lib/db/people.ts'
import { mayDo } from '@/lib/people/role.ts'
import { change, end } from '../../actions.ts'
import { SeasonFields } from '../../season-fields.tsx'
import { planOfAddress } from '../plan-read.ts'

export const metadata: Metadata = { title: 'Change the winter plan' }

/** Whoever works here now. */
async function peopleNow() {
  return (await peopleList()).filter(({ active }) => active).map(({ personId, name }) => ({ personId, name }))
}

export default async function WinterChangePage({ params }: { params: Promise<{ plan: string }> }) {
  const who = await signedIn()
  const { plan } = await planOfAddress((await params).plan)
  const mayPlan = mayDo(who.roles, 'winter.plan')
  return (
    <main className="page narrow" id="page">
      <PageHead up={paths.winter(plan.id)} from={plan.name} title="Change the plan" />
      {mayPlan ? (
        <div className="stack loose">
          {plan.endedAt === null ? (
            <ActionForm action={change} formKey={freshKey()} hidden={{ planId: plan.id }} aria-label="The season">
              <SeasonFields name={plan.name} work={plan.work} people={await peopleNow()} />
              <div className="main-action">
                <SubmitButton>Keep</SubmitButton>
              </div>
            </ActionForm>
          ) : (
            <p>A plan that is closed is not changed.</p>
          )}
          <ActionForm
            action={end}
            formKey={freshKey()}
            hidden={{ planId: plan.id }}
            submit={plan.endedAt === null ? 'Close the plan' : 'Open it again'}
            submitClassName="button"
          />
        </div>
      ) : (
        <MayNot right="winter.plan" />
      )}
    </main>
  )
}
