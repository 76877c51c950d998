import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { PlanChoiceView } from '@/lib/db/order-plan-hand.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { setBudget, undoChoice } from './actions.ts'

interface Props {
  choices: readonly PlanChoiceView[]
  currency: string
  mayOrder: boolean
}

/** What people decided about the plan. It holds for every reckoning until it is undone. */
export function ByHand({ choices, currency, mayOrder }: Props) {
  if (choices.length === 0 && !mayOrder) return null
  return (
    <section className="sheet stack" aria-labelledby="by-hand">
      <h2 id="by-hand">Set by hand</h2>
      {choices.length === 0 ? (
        <p className="soft">
          Nothing: the plan is free to choose. At each line a quantity can be set or its offer refused.
        </p>
      ) : (
        <ul className="plain-list stack tight">
          {choices.map((choice) => (
            <li key={choice.id} className="row spread">
              <span>
                {choiceSays(choice, currency)}{' '}
                <span className="soft small">
                  {choice.by}, <When at={choice.setAt} time />
                </span>
              </span>
              {mayOrder ? (
                <ActionForm
                  action={undoChoice}
                  formKey={freshKey()}
                  hidden={{ choiceId: choice.id }}
                  submit={
                    <>
                      Undo<span className="visually-hidden">: {choiceSays(choice, currency)}</span>
                    </>
                  }
                  submitClassName="button quiet"
                />
              ) : null}
            </li>
          ))}
        </ul>
      )}
      {mayOrder ? (
        <ActionForm action={setBudget} formKey={freshKey()} className="row end no-print" aria-label="Set a budget">
          <Field
            name="budget"
            label={`Budget for goods and carriage, ${currency}`}
            inputMode="decimal"
            autoComplete="off"
            className="input-number"
          />
          <SubmitButton className="button">Set the budget</SubmitButton>
        </ActionForm>
      ) : null}
    </section>
  )
}

function choiceSays({ kind, supplier, number, unit, amount }: PlanChoiceView, currency: string): string {
  const from = supplier ?? 'a supplier who is gone'
  const part = number ?? 'a part that is gone'
  if (kind === 'budget') return `Not more than ${moneyFormat(amount ?? 0, currency)} in all`
  if (kind === 'no-winter') return 'Without the winter plan'
  if (kind === 'no-supplier') return `Nothing from ${from}`
  if (kind === 'no-offer') return `No ${part} from ${from}`
  return `${quantityFormat(amount ?? 0, unit)} x ${part} from ${from}, no more and no less`
}
