import { Watch } from '@/app/_parts/watch.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { WinterStanding } from '@/lib/db/winter-run.ts'
import { again, cancel } from '../actions.ts'

/** What stands in place of an answer that is still being reckoned, or whose reckoning broke off. */
export function AtWork({ standing, mayPlan }: { standing: WinterStanding; mayPlan: boolean }) {
  const { answer, far, plan } = standing
  if (answer !== null) return null
  const form = { formKey: freshKey(), hidden: { planId: plan.id }, submitClassName: 'button' }
  if (far !== null)
    return (
      <div className="stack tight">
        <Watch says={far || 'Reckoning what the winter needs'} />
        {mayPlan ? <ActionForm action={cancel} {...form} submit="Cancel" /> : null}
      </div>
    )
  return (
    <div className="stack tight">
      <p role="status">The reckoning was cancelled or broke off. Nothing was changed by it.</p>
      {mayPlan ? <ActionForm action={again} {...form} submit="Reckon again" /> : null}
    </div>
  )
}
