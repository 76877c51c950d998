import { type MarginalPart, marginalPurchases } from '../demand/marginal.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { orderArrives } from './order-day.ts'
import type { PartNeed } from './part-need.ts'
import { grainsMost, needLimits, planChance, planChancesBought } from './part-wait.ts'
import type { WorkPlan } from './plan-check.ts'
import { groupCases } from './plan-needs.ts'
import type { GroupKnown, PlanKnown } from './readiness.ts'

/** Some packs of a part, bought at once, and where they bring the whole plan. */
export interface CurveStep {
  part: number
  packs: number
  /** Of all steps so far. */
  cost: number
  /** Of the whole plan after it; without the parts that cannot be had (`leftOut`). */
  readiness: number
  /** What is certain to lack: without it some job waits for sure, so it comes before everything that only may lack. */
  isCertain: boolean
  /** log of readiness gained for each unit of money: what money spent here brings. */
  ratio: number
}

export interface Curve {
  /** Readiness before anything is bought, without the parts that cannot be had. */
  start: number
  steps: CurveStep[]
  /** Parts for which some job will wait whatever is bought now. */
  leftOut: number[]
  /** Whether groups of parts hang together, for which no bound on what is best can be given. */
  hasTied: boolean
  /** Day of the first job that may wait for a part, by part; only of parts that are bought. */
  neededOn: Map<number, PlainDate>
}

/** Packs of one part that are looked at; more bring nothing that anybody sees. */
const PACKS_MOST = 5000
/** So near to what can be reached at all, further packs are not looked at. */
const NEAR = 1e-7

/** Chance for a part by packs bought, one row for each case of its group. */
interface BoughtTable {
  part: number
  /** Packs that are bought at least, once any are. */
  packsLeast: number
  /** rows[case][choice]: none, as many as are sold at least, one more, and so on (`packsOf`). */
  rows: Float64Array[]
}

/** How many packs a choice is: what is below the least that is sold is no choice. */
const packsOf = (choice: number, packsLeast: number) => (choice === 0 ? 0 : packsLeast + choice - 1)

/** A row by packs as a row by choices. */
function choices(row: readonly number[], packsLeast: number): Float64Array {
  return Float64Array.from([row[0]!, ...row.slice(packsLeast)])
}

/** A group by what is bought of its parts: cases with their weights, a table for each part. */
interface GroupTable {
  weights: number[]
  parts: BoughtTable[]
}

function purchase(plan: WorkPlan, part: number) {
  const { offer, pack } = plan.parts[part]!
  if (offer === null) return null
  return { pack, arrives: orderArrives(plan.today, offer.leadDays, plan.suppliers[offer.supplier]!.orderDays) }
}

/** With so many packs bought every job has what it can need at all. */
function packsMost(need: PartNeed, stock: WorkPlan['parts'][number], pack: number): number {
  const least = Math.min(...needLimits(need, stock))
  return Math.min(PACKS_MOST, Math.max(0, Math.ceil(((grainsMost(need) - least) * need.grain) / pack)))
}

function exactTable(plan: WorkPlan, known: PlanKnown, { group }: GroupKnown): GroupTable {
  const cases = [...groupCases(plan, group, known.lines, known.byPart)]
  const weights = cases.map(({ weight }) => weight)
  const parts = group.parts.map((part, at): BoughtTable => {
    const stock = plan.parts[part]!
    const bought = purchase(plan, part)
    const needs = cases.map((one) => one.needs[at]!)
    const useful = bought === null ? 0 : Math.max(...needs.map((need) => packsMost(need, stock, bought.pack)))
    const most = useful === 0 ? 0 : Math.max(useful, stock.packsLeast)
    const chances = needs.map((need) =>
      bought === null ? [planChance(need, needLimits(need, stock))] : planChancesBought(need, stock, bought, most),
    )
    const rows: number[][] = chances.map(() => [])
    for (let packs = 0; packs <= most; packs++) {
      let isNear = true
      for (const [row, one] of chances.entries()) {
        // A pack more never does harm; what rounding takes back is not believed.
        const chance = Math.max(rows[row]!.at(-1) ?? 0, one[packs]!)
        rows[row]!.push(chance)
        if (chance < one[most]! * (1 - NEAR)) isNear = false
      }
      if (isNear && packs >= Math.min(most, stock.packsLeast)) break
    }
    return { part, packsLeast: stock.packsLeast, rows: rows.map((row) => choices(row, stock.packsLeast)) }
  })
  return { weights, parts }
}

/** Runs of a simulation in which some job waited are cases of their own, all others one more. */
function simulatedTable(plan: WorkPlan, { group, simulated }: GroupKnown, runs: number): GroupTable {
  const { shorts } = simulated!
  const waiting = [...new Set(shorts.flatMap((byRun) => [...byRun.keys()]))].sort((a, b) => a - b)
  const weights = [...waiting.map(() => 1 / runs), 1 - waiting.length / runs]
  const parts = group.parts.map((part, at): BoughtTable => {
    const bought = purchase(plan, part)
    const packsFor = waiting.map((run) =>
      (shorts[at]!.get(run) ?? []).reduce((most, { job, short }) => {
        const isInTime = bought !== null && bought.arrives <= plan.jobs[job]!.date
        return Math.max(most, isInTime ? Math.ceil(short / bought.pack) : Number.POSITIVE_INFINITY)
      }, 0),
    )
    const { packsLeast } = plan.parts[part]!
    const useful = packsFor.reduce((top, packs) => (Number.isFinite(packs) ? Math.max(top, packs) : top), 0)
    const most = useful === 0 ? 0 : Math.max(useful, packsLeast)
    const rows = [...packsFor, 0].map((needed) =>
      choices(
        Array.from({ length: most + 1 }, (_, packs) => (packs >= needed ? 1 : 0)),
        packsLeast,
      ),
    )
    return { part, packsLeast, rows }
  })
  return { weights, parts }
}

/** The plan's chance for this group with a choice of each of its parts. */
function groupAt({ weights, parts }: GroupTable, chosen: readonly number[]): number {
  let sum = 0
  for (const [row, weight] of weights.entries()) {
    let chance = weight
    for (const [at, { rows }] of parts.entries()) chance *= rows[row]![Math.min(chosen[at]!, rows[row]!.length - 1)]!
    sum += chance
  }
  return Math.min(1, sum)
}

/** A part alone, averaged over the cases. */
function partAt({ weights }: GroupTable, { rows }: BoughtTable): number[] {
  const sums = Array.from({ length: rows[0]!.length }, () => 0)
  for (const [row, weight] of weights.entries())
    for (let choice = 0; choice < sums.length; choice++) sums[choice]! += weight * rows[row]![choice]!
  return sums
}

/** A part that something can be bought of: its chances by choice, and the first choice with which no job waits for sure. */
interface Item {
  group: number
  at: number
  part: number
  packsLeast: number
  chances: number[]
  first: number
  price: number
}

interface Choice {
  choice: number
  cost: number
  log: number
}

/**
 * Choices of a part that are worth their money, from the first with any chance on: between two of them no other brings more for
 * each unit of money (the upper hull of log chance over cost). Sixteen hammers of a rotor are one step of it, for fifteen are no use.
 */
function worthBuying({ chances, first, price, packsLeast }: Item): Choice[] {
  const way: Choice[] = []
  const slope = (from: Choice, to: Choice) =>
    to.cost > from.cost ? (to.log - from.log) / (to.cost - from.cost) : Number.POSITIVE_INFINITY
  for (let choice = first; choice < chances.length; choice++) {
    const one = { choice, cost: price * packsOf(choice, packsLeast), log: Math.log(chances[choice]!) }
    if (way.length > 0 && one.log <= way.at(-1)!.log) continue
    while (way.length > 1 && slope(way.at(-2)!, way.at(-1)!) <= slope(way.at(-1)!, one)) way.pop()
    way.push(one)
  }
  return way
}

/** The first day on which a job may wait for the part. */
function dayNeeded(plan: WorkPlan, known: PlanKnown, { group, chance }: GroupKnown, part: number): PlainDate | null {
  const own = chance.parts[group.parts.indexOf(part)]!
  const days = known.byPart
    .get(part)!
    .filter(({ job }) => (own.jobs.get(job) ?? 0) < 1 - 1e-9)
    .map(({ job }) => plan.jobs[job]!.date)
  return days.sort()[0] ?? null
}

/**
 * What to buy for the most readiness, from nothing to all that helps: marginal analysis over the log of readiness, which adds up
 * over parts that know nothing of each other (C. C. Sherbrooke, Optimal Inventory Modeling of Systems, 2nd edition, chapter 2).
 * What is certain to lack comes first, in the order of the jobs. Every point is the best for its money where each part's gains
 * fall off; packs that only help together are stepped over at once. Parts that hang together are ranked each by itself, and the
 * readiness said is that of the group. Reckoned once; a budget is read off.
 */
export function readinessCurve(plan: WorkPlan, known: PlanKnown): Curve {
  const tables = known.groups.map((one) =>
    one.simulated === null ? exactTable(plan, known, one) : simulatedTable(plan, one, one.chance.runs!),
  )
  const items: Item[] = []
  const leftOut: number[] = []
  const neededOn = new Map<number, PlainDate>()
  const chosen = tables.map(({ parts }) => parts.map(() => 0))
  const isCounted = tables.map(() => true)
  for (const [group, table] of tables.entries())
    for (const [at, bought] of table.parts.entries()) {
      const chances = partAt(table, bought)
      const first = chances.findIndex((chance) => chance > 0)
      if (first < 0) {
        leftOut.push(bought.part)
        isCounted[group] = false
        continue
      }
      if (chances.length === 1) continue
      const { offer } = plan.parts[bought.part]!
      const { part, packsLeast } = bought
      items.push({ group, at, part, packsLeast, chances, first, price: offer!.price })
      const day = dayNeeded(plan, known, known.groups[group]!, bought.part)
      if (day !== null) neededOn.set(bought.part, day)
    }
  const groupChances = tables.map((table, group) => groupAt(table, chosen[group]!))
  // As a sum of logs: a product over thousands of parts falls below the smallest number long before there is nothing left to buy.
  let logs = 0
  let waitsForSure = 0
  const count = (chance: number, sign: 1 | -1) => {
    if (chance > 0) logs += sign * Math.log(chance)
    else waitsForSure += sign
  }
  for (const [group, chance] of groupChances.entries()) if (isCounted[group]) count(chance, 1)
  const product = () => (waitsForSure > 0 ? 0 : Math.min(1, Math.exp(logs)))
  const start = product()
  const steps: CurveStep[] = []
  let cost = 0
  let readiness = start
  const buy = (item: Item, more: number) => {
    const choice = chosen[item.group]![item.at]!
    const packs = packsOf(choice + more, item.packsLeast) - packsOf(choice, item.packsLeast)
    chosen[item.group]![item.at] = choice + more
    const before = groupChances[item.group]!
    const after = Math.max(before, groupAt(tables[item.group]!, chosen[item.group]!))
    groupChances[item.group] = after
    if (isCounted[item.group]) {
      count(before, -1)
      count(after, 1)
    }
    cost += packs * item.price
    // A step never takes readiness away; what rounding of the logs takes back is not believed.
    readiness = Math.max(readiness, product())
    return { part: item.part, packs, cost, readiness }
  }
  const byJob = items
    .filter(({ first }) => first > 0)
    .sort((a, b) => known.byPart.get(a.part)![0]!.job - known.byPart.get(b.part)![0]!.job || a.part - b.part)
  for (const item of byJob) steps.push({ ...buy(item, item.first), isCertain: true, ratio: Number.POSITIVE_INFINITY })
  const ways = items.map(worthBuying)
  const marginal = ways.map(
    (way): MarginalPart => ({
      gain: (at) => (at + 1 < way.length ? way[at + 1]!.log - way[at]!.log : 0),
      cost: (at) => (at + 1 < way.length ? way[at + 1]!.cost - way[at]!.cost : 1),
    }),
  )
  const reached = items.map(() => 0)
  for (const { part: at, pieces, gain } of stepsOf(marginal)) {
    const item = items[at]!
    const before = ways[at]![reached[at]!]!
    reached[at]! += pieces
    const step = buy(item, ways[at]![reached[at]!]!.choice - before.choice)
    const ratio = item.price > 0 ? gain / (step.packs * item.price) : Number.POSITIVE_INFINITY
    steps.push({ ...step, isCertain: false, ratio })
  }
  return { start, steps, leftOut, hasTied: tables.some(({ parts }) => parts.length > 1), neededOn }
}

function* stepsOf(parts: readonly MarginalPart[]): Generator<{ part: number; pieces: number; gain: number }> {
  let before = 0
  for (const { part, pieces, total } of marginalPurchases(parts)) {
    yield { part, pieces, gain: total - before }
    before = total
  }
}

/** How many steps of the curve a budget pays for. */
export function curveStepsFor({ steps }: Curve, budget: number): number {
  let low = 0
  let high = steps.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (steps[middle]!.cost <= budget) low = middle + 1
    else high = middle
  }
  return low
}

export interface CurvePoint {
  spent: number
  readiness: number
  /** No choice of pieces for this budget gives more; null where parts hang together or something certain is not paid for. */
  bestPossible: number | null
}

/**
 * What a budget brings, by reading the curve. Between two points money is left over: spent at the rate of the next step it
 * would give `bestPossible`, which no choice can pass (the bound of the knapsack).
 */
export function curveAt(curve: Curve, budget: number): CurvePoint {
  const count = curveStepsFor(curve, budget)
  const last = curve.steps[count - 1]
  const next = curve.steps[count]
  const spent = last?.cost ?? 0
  const readiness = last?.readiness ?? curve.start
  const isOpen = curve.hasTied || next?.isCertain === true
  const more = next === undefined ? 0 : next.ratio * (budget - spent)
  return { spent, readiness, bestPossible: isOpen ? null : Math.min(1, readiness * Math.exp(more)) }
}

/** The least budget that brings a readiness; null where none does. */
export function curveBudgetFor(curve: Curve, readiness: number): number | null {
  if (curve.start >= readiness) return 0
  return curve.steps.find((step) => step.readiness >= readiness)?.cost ?? null
}
