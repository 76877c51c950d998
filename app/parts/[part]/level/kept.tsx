import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { PartLevelStanding } from '@/lib/db/level-list.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { sentence } from '@/lib/replenish/explain.ts'
import { holdLevel, liftHold } from './actions.ts'

/** What the last reckoning of all parts says of this one, where it says something that is not kept. */
export function Waiting({ standing: { proposal }, unit }: { standing: PartLevelStanding; unit: StockUnit }) {
  if (!proposal) return null
  const { state, after, refused, isStale, reckonedAt } = proposal
  const levels = `reorder point ${quantityFormat(after.reorderPoint, unit)}, order up to ${quantityFormat(after.orderUpTo, unit)}`
  if (refused)
    return (
      <p className="soft">
        Refused: {levels} (<When at={refused.at} />, {refused.by}: {refused.words}).
      </p>
    )
  if (state !== 'change') return null
  return (
    <p>
      {isStale ? 'Changed since it was reckoned: ' : 'Waits for a yes: '}
      {levels}. <span className="soft">{sentence(proposal.reason)}</span>{' '}
      <Link href={paths.levels()} prefetch={false}>
        Levels reckoned <When at={reckonedAt} />
      </Link>
    </p>
  )
}

/** The hand that is kept over the level: until when and why, or the form to do so. */
export function Hold(props: { partId: number; hold: PartLevelStanding['hold']; mayKeep: boolean }) {
  const { partId, hold, mayKeep } = props
  if (hold)
    return (
      <div className="stack tight">
        <p>
          <span className="strong">Kept by hand</span> until {dateSays(hold.untilOn)} ({hold.by}): {hold.reason}. No
          reckoning proposes another level.
        </p>
        {mayKeep ? (
          <ActionForm
            action={liftHold}
            formKey={freshKey()}
            hidden={{ partId }}
            submit="Let it be reckoned again"
            submitClassName="button"
          />
        ) : null}
      </div>
    )
  if (!mayKeep) return null
  return (
    <details>
      <summary className="button quiet">Keep the level by hand</summary>
      <ActionForm
        action={holdLevel}
        formKey={freshKey()}
        hidden={{ partId }}
        submit="Keep it by hand"
        aria-label="Keep the level by hand"
      >
        <p className="hint">
          What is kept now stays until that day, no level too where there is none: no reckoning proposes another one.
        </p>
        <Field name="untilOn" label="Until" type="date" required />
        <Field name="reason" label="Why" maxLength={200} autoComplete="off" />
      </ActionForm>
    </details>
  )
}
