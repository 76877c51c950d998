import { Watch } from '@/app/_parts/watch.tsx'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { LevelRunStanding } from '@/lib/db/level-run.ts'
import { counted } from '@/lib/measure/counted.ts'
import { reckonCancel, reckonNow } from './actions.ts'

/** "Reckoning levels: 4,000 of 12,000" */
function stepSays({ step, done, total }: LevelRunStanding): string {
  return total === 0 ? step : `${step}: ${done.toLocaleString('en-GB')} of ${counted(total, 'part')}`
}

/** When the levels were last reckoned and by whom, how far one at work is, and how to begin or end one. */
export function ReckoningStanding({ run, mayReckon }: { run: LevelRunStanding | null; mayReckon: boolean }) {
  if (run?.state === 'working')
    return (
      <div className="stack tight">
        <Watch says={stepSays(run)} />
        {mayReckon ? (
          <ActionForm
            action={reckonCancel}
            formKey={freshKey()}
            hidden={{ runId: run.runId }}
            submit="Cancel"
            submitClassName="button"
          />
        ) : null}
      </div>
    )
  return (
    <section className="stack tight" aria-label="Last reckoning">
      {run === null ? (
        <p className="empty">
          Not reckoned yet. It looks at what every part was used for, at the machines that have it and how long a
          delivery takes; no level is changed until somebody says yes.
        </p>
      ) : (
        <p className={run.state === 'failed' ? 'caution' : undefined}>
          {run.state === 'done' ? 'Reckoned' : run.state === 'cancelled' ? 'Cancelled' : 'Broken off'}{' '}
          <When at={run.endedAt ?? run.startedAt} time /> ({run.by ?? 'by the clock'}).{' '}
          {run.state === 'done' ? `${counted(run.parts, 'part')}, ${counted(run.changes, 'change')} proposed.` : null}
          {run.state === 'failed' ? run.words : null}
        </p>
      )}
      {mayReckon ? (
        <ActionForm action={reckonNow} formKey={freshKey()} submit="Reckon all levels" submitClassName="button" />
      ) : null}
    </section>
  )
}
