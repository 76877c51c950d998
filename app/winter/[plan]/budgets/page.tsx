import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { PrintButton } from '@/app/_parts/print-button.tsx'
import { type PageQuery, queryText } from '@/app/_parts/query.ts'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type WinterBudgets, winterBudgets } from '@/lib/db/winter-budget.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyParse } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import { moneyWords } from '@/lib/winter/words.ts'
import { AtWork } from '../at-work.tsx'
import { planOfAddress } from '../plan-read.ts'
import { setBudget } from './actions.ts'
import { BudgetTable } from './budget-table.tsx'
import styles from './budgets.module.css'

export const metadata: Metadata = { title: 'Budgets of the winter' }

interface Props {
  params: Promise<{ plan: string }>
  searchParams: PageQuery
}

export default async function WinterBudgetsPage({ params, searchParams }: Props) {
  const who = await signedIn()
  const standing = await planOfAddress((await params).plan)
  const { plan, facts } = standing
  const asked = moneyParse(queryText((await searchParams).budget))
  const budgets = await winterBudgets(standing, asked)
  const mayKeep = mayDo(who.roles, 'budget.keep')
  const centres = budgets.rows.filter(({ centre }) => centre !== null)
  return (
    <main className="page" id="page">
      <PageHead up={paths.winter(plan.id)} from={plan.name} about="by cost centre" title="Budgets">
        <nav className="row no-print" aria-label="Budgets">
          <PrintButton>
            Print<span className="visually-hidden"> the budgets</span>
          </PrintButton>
          <Link className="button" href={paths.costCentres()} prefetch={false}>
            Cost centres
          </Link>
        </nav>
      </PageHead>
      <div className="stack loose">
        <AtWork standing={standing} mayPlan={mayDo(who.roles, 'winter.plan')} />
        {centres.length === 0 ? (
          <p className="empty">
            There is no cost centre yet. A manager adds them under{' '}
            <Link href={paths.costCentres()}>Settings, Cost centres</Link> and says which machines belong to each.
          </p>
        ) : (
          <>
            <Says budgets={budgets} currency={facts.currency} />
            <BudgetTable rows={budgets.rows} currency={facts.currency} />
            {mayKeep ? (
              <section className="stack no-print" aria-labelledby="set">
                <h2 id="set">Set the budgets</h2>
                {centres
                  .filter(({ centre }) => !centre!.isClosed)
                  .map(({ centre, budgetMinor }) => (
                    <ActionForm
                      key={centre!.id}
                      action={setBudget}
                      formKey={freshKey()}
                      hidden={{ planId: plan.id, centreId: centre!.id }}
                      className={styles.set}
                      aria-label={`Budget of ${centre!.code}`}
                    >
                      <Field
                        name="budget"
                        label={`${centre!.code} ${centre!.name}, ${facts.currency}`}
                        inputMode="decimal"
                        autoComplete="off"
                        className="input-number"
                        defaultValue={budgetMinor === null ? '' : (budgetMinor / 100).toFixed(2)}
                      />
                      <SubmitButton className="button">Keep</SubmitButton>
                    </ActionForm>
                  ))}
                <p className="soft">Left empty, a cost centre has no budget.</p>
              </section>
            ) : (
              <MayNot right="budget.keep" />
            )}
            <HowShared budgets={budgets} />
          </>
        )}
      </div>
    </main>
  )
}

function Says({ budgets: { listMinor }, currency }: { budgets: WinterBudgets; currency: string }) {
  return (
    <p>
      {listMinor === null
        ? 'Nothing counts as planned: the plan is closed, or is still being reckoned.'
        : `Planned is what the list for ${moneyWords(listMinor, currency)} still buys.`}{' '}
      Tax and deposits come on top.
    </p>
  )
}

function HowShared({ budgets: { ordersWithout } }: { budgets: WinterBudgets }) {
  return (
    <section className="stack tight" aria-labelledby="how-shared">
      <h2 id="how-shared">How it is shared</h2>
      <p>
        A part that several cost centres need is shared: first by what each needs in any case, what is bought beyond
        that by what each is expected to need. Carriage is shared with the lines of its order. Drafts of the plan are
        taken off what is left as its orders are; drafts and orders that were made elsewhere are of no plan, and not in
        it.
      </p>
      {ordersWithout === 0 ? null : (
        <p className="soft">
          {counted(ordersWithout, 'order is', 'orders are')} older than what is kept with orders now, and shared by what
          is needed today.
        </p>
      )}
    </section>
  )
}
