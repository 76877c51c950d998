import Link from 'next/link'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { PlanChoiceView } from '@/lib/db/order-plan-hand.ts'
import type { WinterInForce } from '@/lib/db/order-plan-winter.ts'
import { leaveWinter, undoChoice } from './actions.ts'

interface Props {
  winters: readonly WinterInForce[]
  choices: readonly PlanChoiceView[]
  /** False for who may not order, and while a plan is looked for. */
  mayChange: boolean
}

/** Whether the needs of winter plans are in the order plan, and the button that leaves them out or takes them in. */
export function WinterSwitch({ winters, choices, mayChange }: Props) {
  if (winters.length === 0) return null
  const left = choices.find(({ kind }) => kind === 'no-winter')
  const names = winters.map(({ id, name }, at) => (
    <span key={id}>
      {at === 0 ? null : ', '}
      <Link href={paths.winterBuy(id)} prefetch={false}>
        {name}
      </Link>
    </span>
  ))
  return (
    <section className="stack tight" aria-labelledby="with-winter">
      <h2 id="with-winter">{left ? 'Without the winter plan' : 'With the winter plan'}</h2>
      <p>
        {left ? (
          <>Left out: {names}. Its machines get nothing of this plan, and their services may wait for parts.</>
        ) : (
          <>
            {names}: what its services are certain to take counts with the jobs, whatever its budget. Of what depends on
            what is found, as much counts as its list buys at the budget kept there. Jobs take stock by their day, then
            the levels get what is left.
          </>
        )}
      </p>
      {mayChange ? (
        <ActionForm
          action={left ? undoChoice : leaveWinter}
          formKey={freshKey()}
          hidden={left ? { choiceId: left.id } : {}}
          className="no-print"
          submit={left ? 'Reckon with the winter plan' : 'Leave the winter plan out'}
          submitClassName="button"
        />
      ) : null}
    </section>
  )
}
