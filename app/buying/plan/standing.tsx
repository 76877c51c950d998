import { Watch } from '@/app/_parts/watch.tsx'
import { When } from '@/app/_parts/when.tsx'
import { SelectField } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { PlanRunStanding } from '@/lib/db/order-plan-run.ts'
import { PLAN_SECONDS } from '@/lib/replenish/plan-kept.ts'
import { cancelPlan, reckonPlan } from './actions.ts'

/** How far a reckoning at work is and how to end it; else when the last one was, and how to begin one. */
export function PlanStanding({ run, mayOrder }: { run: PlanRunStanding | null; mayOrder: boolean }) {
  if (run?.state === 'working')
    return (
      <div className="stack tight">
        <Watch says={run.step} />
        {mayOrder ? (
          <ActionForm
            action={cancelPlan}
            formKey={freshKey()}
            hidden={{ runId: run.runId }}
            submit="Cancel"
            submitClassName="button"
          />
        ) : null}
      </div>
    )
  return (
    <section className="stack tight no-print" aria-label="Last reckoning">
      {run === null ? (
        <p className="empty">
          Not reckoned yet. It looks for the cheapest set of orders that brings everything the order list asks for:
          packs, minimum orders, carriage, lead times, kits and what may stand in for what. Nothing is ordered by it.
        </p>
      ) : (
        <p className={run.state === 'failed' ? 'caution' : 'soft'}>
          {run.state === 'done' ? 'Reckoned' : run.state === 'cancelled' ? 'Cancelled' : 'Broken off'}{' '}
          <When at={run.endedAt ?? run.startedAt} time /> ({run.by}).{' '}
          {run.state === 'cancelled' ? 'Below is the plan from before, if there was one.' : null}
          {run.state === 'failed' ? run.words : null}
        </p>
      )}
      {mayOrder ? (
        <ActionForm action={reckonPlan} formKey={freshKey()} className="row end" aria-label="Reckon the plan">
          <SelectField name="seconds" label="Time at most" defaultValue={String(run?.seconds ?? 20)}>
            {PLAN_SECONDS.map((seconds) => (
              <option key={seconds} value={seconds}>
                {seconds} seconds
              </option>
            ))}
          </SelectField>
          <SubmitButton className={run === null ? 'button primary' : 'button'}>
            {run === null ? 'Reckon the plan' : 'Reckon again'}
          </SubmitButton>
        </ActionForm>
      ) : null}
    </section>
  )
}
