import type { ShopFault } from '../replenish/plan-shop-state.ts'
import {
  type ShopWinterNeed,
  type WinterHolds,
  type WinterTake,
  winterNeeds,
  winterTakesOnce,
} from '../replenish/plan-shop-winter.ts'
import { dateOf, type PlainDate } from '../service/plain-date.ts'
import type { WinterAnswer } from '../winter/answer.ts'
import { choiceAt } from '../winter/choice.ts'
import type { WinterFacts } from '../winter/facts.ts'
import { database } from './client.ts'
import { type WinterStanding, winterAsKept, winterStanding } from './winter-run.ts'

/** What the winter plans in force ask of the order plan. */
export interface WinterAsked {
  needs: ShopWinterNeed[]
  faults: ShopFault[]
}

export interface WinterInForce {
  id: number
  name: string
}

/** Plans that nobody has ended and whose season is not over, in the order of their seasons. */
export async function wintersInForce(today: PlainDate): Promise<WinterInForce[]> {
  return await database().winterPlan.findMany({
    where: { endedAt: null, untilOn: { gte: today } },
    select: { id: true, name: true },
    orderBy: [{ fromOn: 'asc' }, { id: 'asc' }],
  })
}

/** Whether a buyer has left the winter plans out of the order plan. */
async function isLeftOut(): Promise<boolean> {
  return (await database().orderPlanChoice.count({ where: { kind: 'no-winter', undoneAt: null } })) > 0
}

/** Jobs of machines are jobs of the order plan already, so only the services of machines are taken. */
function takesOf({ facts, planned }: WinterStanding): WinterTake[] {
  const machineOf = new Map(facts.machines.map(({ id, fleetNumber }) => [id, fleetNumber]))
  return planned.works.flatMap(({ job, machineId, wants, wantedOn }) =>
    job !== null
      ? []
      : wants.map(({ partId, quantity, looks }) => {
          const machine = machineOf.get(machineId)!
          return { machine, partId, quantity, on: wantedOn, isCertain: looks.length === 0 }
        }),
  )
}

/** What the list buys at a budget, but for parts of which it only buys what is certain: packs of that are the order plan's own. */
function boughtOf({ curve }: WinterAnswer, budgetMinor: number): Map<number, number> {
  const steps = curve.steps.slice(0, choiceAt(curve, budgetMinor).count)
  const perhaps = new Set(steps.flatMap(({ partId, isCertain }) => (isCertain ? [] : [partId])))
  const bought = new Map<number, number>()
  for (const { partId, pieces } of steps) bought.set(partId, (bought.get(partId) ?? 0) + pieces)
  return new Map([...bought].filter(([partId]) => perhaps.has(partId)))
}

function sums(rows: readonly { partId: number; quantity: number }[]): Map<number, number> {
  const of = new Map<number, number>()
  for (const { partId, quantity } of rows) of.set(partId, (of.get(partId) ?? 0) + quantity)
  return of
}

function holdsOf({ plan, facts, planned, answer }: WinterStanding): WinterHolds[] {
  const bought = answer === null || plan.budgetMinor === null ? null : boughtOf(answer, plan.budgetMinor)
  const byHand = new Map(planned.byHand.map(({ partId, quantity }) => [partId, quantity]))
  const works: readonly Pick<WinterFacts['jobs'][number], 'wants'>[] = [...facts.machines, ...facts.jobs]
  const jobs = sums(facts.jobs.flatMap(({ wants }) => wants.filter(({ looks }) => looks.length === 0)))
  const perhaps = sums(works.flatMap(({ wants }) => wants.filter(({ looks }) => looks.length > 0)))
  const neededOn = new Map(answer?.parts.map((part) => [part.partId, part.neededOn]) ?? [])
  return facts.parts.map(({ id, free, onOrder, failures }) => ({
    partId: id,
    stock: free + onOrder.reduce((sum, { quantity }) => sum + quantity, 0),
    jobs: jobs.get(id) ?? 0,
    bought: byHand.get(id) ?? (bought === null ? null : (bought.get(id) ?? 0)),
    isByHand: byHand.has(id),
    most: byHand.has(id) || failures !== null ? null : (perhaps.get(id) ?? 0),
    on: neededOn.get(id) ?? facts.work.from,
  }))
}

/**
 * Services of the winter plans in force as needs of the order plan; none where a buyer left them out. What is on condition is in it
 * where a budget was kept and the plan's answer is current. `reckons`: a small plan whose answer is not is reckoned at once, as on
 * its own screen; a large one never is, and counts with what is certain. Read outside of any write.
 */
export async function winterAsked(now: Date, { reckons = false } = {}): Promise<WinterAsked> {
  if (await isLeftOut()) return { needs: [], faults: [] }
  const plans: { plan: WinterInForce; takes: WinterTake[]; holds: WinterHolds[] }[] = []
  const faults: ShopFault[] = []
  for (const plan of await wintersInForce(dateOf(now))) {
    const standing = reckons ? await winterStanding(plan.id, now, { start: () => 0 }) : await winterAsKept(plan.id, now)
    if (standing.plan.budgetMinor !== null && standing.answer === null)
      faults.push({
        at: plan.name,
        why: 'what it buys on condition is not reckoned as things stand, so only what is certain counts',
        next: 'Look at what to buy there, then reckon this again.',
        winterPlanId: plan.id,
      })
    plans.push({ plan, takes: takesOf(standing), holds: holdsOf(standing) })
  }
  return { needs: winterTakesOnce(plans).flatMap(({ plan, takes, holds }) => winterNeeds(plan, takes, holds)), faults }
}
