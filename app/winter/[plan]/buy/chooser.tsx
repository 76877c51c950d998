'use client'

import { useDeferredValue, useId, useMemo, useState } from 'react'
import { PrintButton } from '@/app/_parts/print-button.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { paths } from '@/app/paths.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyParse } from '@/lib/measure/money.ts'
import { buyGroups } from '@/lib/winter/buy-list.ts'
import { choiceAt, choiceWorth } from '@/lib/winter/choice.ts'
import { listLots, pressOf } from '@/lib/winter/lots.ts'
import { boundSays, chanceWords, choiceSays, moneyWords } from '@/lib/winter/words.ts'
import { keepBudget, orderAll } from '../../actions.ts'
import { AboveLimit } from './above-limit.tsx'
import styles from './buy.module.css'
import type { ChooserProps } from './chooser-props.ts'
import { CurvePicture } from './curve-picture.tsx'
import { BuyList } from './list.tsx'
import { Overdrawn } from './overdrawn.tsx'

const STEPS = 200
/** The slider goes by sums that somebody would say: 1, 2 or 5 with noughts. */
function sliderStep(span: number): number {
  const least = Math.max(100, span / STEPS)
  const tens = 10 ** Math.floor(Math.log10(least))
  return [1, 2, 5, 10].map((times) => times * tens).find((step) => step >= least)!
}

const typedOf = (minor: number) => (minor % 100 === 0 ? String(minor / 100) : (minor / 100).toFixed(2))

/** A set with one more, or without it. */
const ticked = (id: number, isTicked: boolean) => (before: ReadonlySet<number>) =>
  new Set([...before].filter((one) => one !== id).concat(isTicked ? id : []))

/** The budget as a slider and as a number, what it brings, and the list it buys. All of it was reckoned before: here it is only read off. */
export function Chooser(props: ChooserProps) {
  const { curve, currency, planId } = props
  const least = curve.baseMinor
  const top = curve.steps.at(-1)?.costMinor ?? least
  const step = sliderStep(top - least)
  const last = least + Math.ceil((top - least) / step) * step
  const begin = Math.max(least, props.budgetMinor)
  const [budget, setBudget] = useState(begin)
  const [typed, setTyped] = useState(typedOf(begin))
  const ids = useId()
  const choose = (minor: number) => {
    setBudget(minor)
    setTyped(typedOf(minor))
  }
  const read = moneyParse(typed)
  const point = choiceAt(curve, budget)
  const says = choiceSays(curve, budget, currency, props.waits)
  const bound = boundSays({ ...props, budgetMinor: budget })
  const worth = choiceWorth(curve)
  const count = useDeferredValue(point.count)
  const groups = useMemo(
    () => buyGroups(curve, count, props.parts, props.suppliers),
    [curve, count, props.parts, props.suppliers],
  )
  const lots = useMemo(() => listLots(groups, props.lotSettings), [groups, props.lotSettings])
  const [later, setLater] = useState<ReadonlySet<number>>(new Set())
  const [firstOnly, setFirstOnly] = useState<ReadonlySet<number>>(new Set())
  const { groups: ordered, leftMinor } = pressOf(groups, lots, { later, firstOnly })
  const orderedMinor = ordered.reduce((sum, { goodsMinor, carriageMinor }) => sum + goodsMinor + carriageMinor, 0)
  const lines = ordered.flatMap((group) =>
    group.lines.map(({ part, quantity }) => ({
      partId: part.partId,
      supplierId: part.supplierId,
      quantity,
      seen: part.seen,
    })),
  )
  const { limitMinor } = props
  const above = ordered.filter(({ goodsMinor }) => limitMinor !== null && goodsMinor > limitMinor)
  const within = ordered.length - above.length
  const pressed = [
    ...(within > 0 ? [`Mark as ordered: ${counted(within, 'order')}`] : []),
    ...(above.length > 0 ? [`${within > 0 ? 'keep' : 'Keep'} ${counted(above.length, 'draft')} for approval`] : []),
  ].join(', ')
  const hasChoice = curve.steps.length > 0
  return (
    <>
      <section className="stack no-print" aria-label="Budget">
        {hasChoice ? (
          <div className="row end">
            <div className={`field ${styles.slide}`}>
              <label htmlFor={`${ids}-slider`}>Budget for goods and carriage, the whole season</label>
              <input
                id={`${ids}-slider`}
                className={styles.slider}
                type="range"
                min={least}
                max={last}
                step={step}
                value={Math.min(budget, last)}
                aria-valuetext={`${moneyWords(budget, currency)}: ${chanceWords(point.readiness)}`}
                onChange={(event) => choose(Number(event.target.value))}
              />
            </div>
            <div className="field">
              <label htmlFor={`${ids}-number`}>Sum, {currency}</label>
              <input
                id={`${ids}-number`}
                className="input-number wide"
                inputMode="decimal"
                autoComplete="off"
                value={typed}
                aria-invalid={read === null ? true : undefined}
                aria-describedby={read === null ? `${ids}-fault` : undefined}
                onChange={(event) => {
                  setTyped(event.target.value)
                  const minor = moneyParse(event.target.value)
                  if (minor !== null) setBudget(Math.max(least, minor))
                }}
              />
              {read === null ? (
                <p className="fault" id={`${ids}-fault`}>
                  enter a sum such as 3400 or 3400.50
                </p>
              ) : null}
            </div>
            {props.mayPlan ? (
              <ActionForm
                action={keepBudget}
                formKey={props.formKeys.budget}
                hidden={{ planId, budget: typedOf(budget) }}
                submit="Keep this budget"
                submitClassName="button"
              />
            ) : null}
          </div>
        ) : null}
        <p className="strong">{says}</p>
        {bound === '' ? null : <p>{bound}</p>}
        <Overdrawn planId={planId} watch={props.watch} groups={groups} currency={currency} />
        {hasChoice ? (
          <>
            <p className="soft">
              More than {moneyWords(worth.budgetMinor, currency)} brings less than{' '}
              {worth.within <= 0.001 ? 'a thousandth' : `${(worth.within * 100).toFixed(1)} of a hundred`} in all
              {curve.error > 0 ? ', which is no more than the dice of the reckoning leave open' : ''}. Carriage is in it
              as agreed with each supplier.
            </p>
            <CurvePicture curve={curve} budget={budget} currency={currency} />
          </>
        ) : null}
      </section>
      {groups.length === 0 ? null : (
        <div className="row no-print">
          <PrintButton>Print the list</PrintButton>
          <a className="button" href={paths.winterCsv(planId, { budget: typedOf(budget) })} download>
            List as CSV
          </a>
        </div>
      )}
      <BuyList
        {...props}
        groups={groups}
        count={count}
        spentMinor={point.spentMinor}
        lots={lots}
        later={later}
        onLater={(supplierId, isLater) => setLater(ticked(supplierId, isLater))}
        firstOnly={firstOnly}
        onFirstOnly={(supplierId, isFirstOnly) => setFirstOnly(ticked(supplierId, isFirstOnly))}
      />
      {props.mayOrder ? (
        <ActionForm
          action={orderAll}
          formKey={props.formKeys.order}
          hidden={{
            planId,
            ordersMade: props.ordersMade,
            leftMinor,
            lines: JSON.stringify(lines),
            costs: JSON.stringify(
              ordered.map(({ supplier, goodsMinor, carriageMinor }) => ({
                supplierId: supplier.id,
                goodsMinor,
                carriageMinor,
              })),
            ),
          }}
          className="stack no-print"
        >
          <AboveLimit above={above} limitMinor={limitMinor ?? 0} currency={currency} />
          {lines.length === 0 ? null : (
            <div className="main-action">
              <SubmitButton>{`${pressed}, ${counted(lines.length, 'line')}, ${moneyWords(orderedMinor, currency)}`}</SubmitButton>
            </div>
          )}
        </ActionForm>
      ) : null}
    </>
  )
}
