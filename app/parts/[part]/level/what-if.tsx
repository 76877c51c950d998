'use client'

import { useMemo, useState } from 'react'
import { ActionForm } from '@/app/_server/form.tsx'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat, moneyParse } from '@/lib/measure/money.ts'
import { quantityFormat, quantityInput, type StockUnit } from '@/lib/measure/quantity.ts'
import { aimParse, shareSays } from '@/lib/replenish/explain.ts'
import { type Criticality, type LevelSettings, leastYear, serviceAim } from '@/lib/replenish/level-settings.ts'
import {
  FORECAST_SAYS,
  isEverNeeded,
  levelProposal,
  type Proposal,
  type ProposalChoice,
  type ProposalFacts,
} from '@/lib/replenish/proposal.ts'
import { type Step, stepSays } from '@/lib/replenish/step.ts'
import { setLevel } from '../actions.ts'
import { LastYear } from './last-year.tsx'
import styles from './level.module.css'
import { NeedPicture } from './need-picture.tsx'

const CRITICALITIES: readonly Criticality[] = ['vital', 'essential', 'desirable']

/** The aim is typed, as so many of a hundred. */
const OTHER = { 'other-fill': 'fill', 'other-cycle': 'cycle' } as const
type Other = keyof typeof OTHER
type AimChosen = Criticality | Other | 'least-cost'

const isOther = (aim: AimChosen): aim is Other => aim in OTHER

const aimsOf = (settings: LevelSettings): { value: AimChosen; says: string }[] => [
  ...CRITICALITIES.map((criticality) => {
    const { kind, share } = serviceAim(settings, criticality)
    const many = `${Number((share * 100).toFixed(1))} of 100`
    const says = kind === 'fill' ? `${many} there at once` : `nobody waiting after ${many} looks`
    return { value: criticality, says: `${says} (${criticality})` }
  }),
  { value: 'other-fill', says: 'another share there at once' },
  { value: 'other-cycle', says: 'nobody waiting after another share of looks' },
  { value: 'least-cost', says: 'least cost of stock and standing' },
]

const days = (text: string): number | null => (/^\d{1,3}$/.test(text.trim()) ? Number(text) : null)

interface WhatIfProps {
  partId: number
  unit: StockUnit
  facts: ProposalFacts
  choice: ProposalChoice
  kept: { reorderPoint: number; orderUpTo: number } | null
  criticality: Criticality
  settings: LevelSettings
  currency: string
  mayKeep: boolean
  formKey: string
}

/** The proposal, reckoned anew in the browser with every change; nothing is kept until somebody says so. */
export function WhatIf(props: WhatIfProps) {
  const { partId, unit, facts, choice, kept, criticality, settings, currency, mayKeep, formKey } = props
  const aims = aimsOf(settings)
  const own = serviceAim(settings, criticality)
  const [aim, setAim] = useState<AimChosen>(choice.aim.kind === 'least-cost' ? 'least-cost' : criticality)
  // Begins at what the settings of this part aim at.
  const [share, setShare] = useState(String(Number((own.share * 100).toFixed(2))))
  const [lead, setLead] = useState(String(choice.leadDays))
  const [price, setPrice] = useState((choice.priceMinor / 100).toFixed(2))
  const [standing, setStanding] = useState((settings.standingDayMinor / 100).toFixed(2))
  const [withPlanned, setWithPlanned] = useState(choice.withPlanned)
  const leadDays = days(lead) ?? choice.leadDays
  const priceMinor = moneyParse(price) ?? choice.priceMinor
  const standingDayMinor = moneyParse(standing) ?? 0
  const faults = {
    share: isOther(aim) && aimParse(share) === null ? 'enter a number above 0 and below 100, such as 98.5' : undefined,
    lead: days(lead) === null ? 'enter whole days, 0 to 999' : undefined,
    price: moneyParse(price) === null ? 'enter an amount from 0, such as 7.70' : undefined,
    standing: aim === 'least-cost' && moneyParse(standing) === null ? 'enter an amount from 0, such as 100' : undefined,
  }
  const proposal = useMemo(
    () =>
      levelProposal(
        facts,
        {
          aim:
            aim === 'least-cost'
              ? { kind: 'least-cost', standingDayMinor }
              : isOther(aim)
                ? { kind: OTHER[aim], share: aimParse(share) ?? serviceAim(settings, criticality).share }
                : serviceAim(settings, aim),
          leadDays,
          priceMinor,
          withPlanned,
        },
        {
          show: (minor) => quantityFormat(minor, unit),
          lead: `${leadDays} ${leadDays === 1 ? 'day' : 'days'}`,
        },
      ),
    [facts, aim, share, settings, criticality, standingDayMinor, leadDays, priceMinor, withPlanned, unit],
  )
  const showMinor = (minor: number) => quantityFormat(minor, unit)
  /** Amounts of the reckoning are stock units; decimals are kept to what a person reads. */
  const show = (amount: number) =>
    unit === 'each' ? String(Number(amount.toFixed(1))) : quantityFormat(Math.round(amount * facts.scale), unit)
  // Against the standing of a machine one may be kept all the same: by hand, on the part card.
  const isUsed = proposal.perYear > 0
  const canTry = useMemo(() => isEverNeeded(facts), [facts])
  const isFaulty = Object.values(faults).some((fault) => fault !== undefined)
  const isKept = kept?.reorderPoint === proposal.reorderPoint && kept.orderUpTo === proposal.orderUpTo
  const onShelfMinor = Math.round(proposal.answer.meanOnHand * priceMinor)
  return (
    <section className="stack" aria-labelledby="proposal">
      <h2 id="proposal">Proposed</h2>
      <div aria-live="polite" className="stack tight">
        {isUsed ? (
          <p className="strong">
            Reorder point {showMinor(proposal.reorderPoint)}, order up to {showMinor(proposal.orderUpTo)}
          </p>
        ) : null}
        <p>{proposal.says}</p>
        {isUsed && !proposal.isWorthKeeping ? (
          <p>
            Asked for too seldom to be proposed by itself: what is {criticality} gets a level when jobs ask for it{' '}
            {leastYear(settings, criticality)} times a year or more. Without one it is bought when a job wants it.
          </p>
        ) : null}
        <p className="soft">
          {canTry
            ? `The need is foreseen ${FORECAST_SAYS[proposal.method]}.`
            : 'Another aim, lead time or price can be tried here once some of it was used: until then none of them changes anything.'}
        </p>
      </div>
      {mayKeep && isUsed && !isFaulty ? (
        <ActionForm
          action={setLevel}
          formKey={formKey}
          submit={isKept ? undefined : 'Keep the proposed level'}
          hidden={{
            partId,
            unit,
            reorderPoint: quantityInput(proposal.reorderPoint, unit),
            orderUpTo: quantityInput(proposal.orderUpTo, unit),
            reason: proposal.reason,
          }}
        >
          {isKept ? <p className="soft">That is the level kept now.</p> : null}
        </ActionForm>
      ) : null}
      {canTry ? (
        <fieldset className="stack tight">
          <legend className="strong">What if</legend>
          <p className="hint" id="what-if-hint">
            The part is {criticality}. The proposal changes as you type; nothing is kept until you say so.
          </p>
          <div className={styles.choices}>
            <div className="field">
              <label htmlFor="aim">Aim</label>
              <select id="aim" value={aim} onChange={(event) => setAim(event.target.value as AimChosen)}>
                {aims.map((one) => (
                  <option key={one.value} value={one.value}>
                    {one.says}
                  </option>
                ))}
              </select>
            </div>
            {isOther(aim) ? (
              <Typed
                id="share"
                label={aim === 'other-fill' ? 'Of 100 there at once' : 'Of 100 looks'}
                {...{ value: share, set: setShare, fault: faults.share }}
              />
            ) : null}
            {aim === 'least-cost' ? (
              <Typed
                id="standing"
                label={`A machine standing for a day, ${currency}`}
                {...{ value: standing, set: setStanding, fault: faults.standing }}
              />
            ) : null}
            <Typed id="lead" label="Lead time, days" {...{ value: lead, set: setLead, fault: faults.lead }} />
            <Typed id="price" label={`Price, ${currency}`} {...{ value: price, set: setPrice, fault: faults.price }} />
          </div>
          <label className="tick">
            <input type="checkbox" checked={withPlanned} onChange={(event) => setWithPlanned(event.target.checked)} />{' '}
            Count what services took
          </label>
        </fieldset>
      ) : null}
      {isUsed ? (
        <Reckoned
          proposal={proposal}
          isPoured={unit !== 'each'}
          show={show}
          worth={moneyFormat(onShelfMinor, currency)}
          usual={`The order list is looked at every ${counted(settings.reviewDays, 'day')}, an order costs ${moneyFormat(settings.orderCostMinor, currency)}, keeping a piece costs ${settings.holdingPercent} per cent of its price in a year, and nothing is bought for more than ${counted(settings.longestYears, 'year')}.`}
        />
      ) : null}
      {canTry ? (
        <LastYear months={facts.months} proposal={proposal} {...{ unit, kept, leadDays, withPlanned }} />
      ) : null}
    </section>
  )
}

/** Steps that change the number as it is shown: 20.96 to 21 is none. */
const felt = (steps: readonly Step[], show: (amount: number) => string) =>
  steps.filter(({ before, after }) => before === null || show(before) !== show(after))

/** The picture, what comes of the level, and every step on the way to it. */
interface ReckonedOf {
  proposal: Proposal
  isPoured: boolean
  show: (amount: number) => string
  worth: string
  usual: string
}

function Reckoned({ proposal, isPoured, show, worth, usual }: ReckonedOf) {
  const { answer, quantity } = proposal
  return (
    <>
      <NeedPicture proposal={proposal} isPoured={isPoured} show={show} />
      <dl className="facts">
        <dt>Served at once</dt>
        <dd>{shareSays(answer.fillRate)}</dd>
        <dt>Nobody waits</dt>
        <dd>
          after {shareSays(answer.cycleService)} looks at the order list, until the order of the next has come
          {answer.deliveryService === null ? '' : `; before about ${shareSays(answer.deliveryService)} deliveries`}
        </dd>
        <dt>Safety stock</dt>
        <dd>{show(answer.safetyStock)}</dd>
        <dt>On the shelf on average</dt>
        <dd>
          {show(answer.meanOnHand)}, {worth}
        </dd>
        <dt>Ordered at a time</dt>
        <dd>{show(quantity.quantity)}</dd>
        {proposal.leftOut > 0 ? (
          <>
            <dt>Left out</dt>
            <dd>
              {proposal.leftOut === 1 ? '1 month' : `${proposal.leftOut} months`} with an empty shelf and little use
            </dd>
          </>
        ) : null}
      </dl>
      <details>
        <summary className="button quiet">How the numbers came about</summary>
        <div className="stack tight">
          <p className="strong">Reorder point</p>
          <ol>
            {felt(answer.steps.reorderPoint, show).map((step) => (
              <li key={step.rule}>{stepSays(step, show)}</li>
            ))}
          </ol>
          <p className="strong">Ordered at a time</p>
          <ol>
            {felt(quantity.steps, show).map((step) => (
              <li key={step.rule}>{stepSays(step, show)}</li>
            ))}
          </ol>
          <p className="strong">Order up to</p>
          <ol>
            {felt(answer.steps.orderUpTo, show).map((step) => (
              <li key={step.rule}>{stepSays(step, show)}</li>
            ))}
          </ol>
          <p className="small">{usual}</p>
        </div>
      </details>
    </>
  )
}

function Typed(props: { id: string; label: string; value: string; set: (value: string) => void; fault?: string }) {
  const { id, label, value, set, fault } = props
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="text"
        inputMode="decimal"
        className="input-number"
        autoComplete="off"
        value={value}
        aria-invalid={fault ? true : undefined}
        aria-describedby={fault ? `${id}-fault` : undefined}
        onChange={(event) => set(event.target.value)}
      />
      {fault ? (
        <p className="fault" id={`${id}-fault`}>
          {fault}
        </p>
      ) : null}
    </div>
  )
}
