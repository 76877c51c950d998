import { type MarginalPart, marginalPurchases } from '../demand/marginal.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { exactTable, simulatedTable } from './bought-table.ts'
import { certainOrder, packsOf } from './certain-lack.ts'
import type { WorkPlan } from './plan-check.ts'
import type { GroupKnown, PlanKnown } from './readiness.ts'
import { type BoughtTable, type GroupTable, groupAt, tiedWay, tiedWork, type WayPoint, worthWay } from './tied-way.ts'

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
  /** Bought together with the next step or not at all, a gasket with its seal: cost and readiness are those of the last of them. */
  isWithNext: boolean
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

/**
 * Choices of a part that are worth their money, from the first with any chance on. Sixteen hammers of a rotor are one step of it,
 * for fifteen are no use.
 */
function partWay({ chances, first, price, packsLeast, at }: Item, start: readonly number[]): WayPoint[] {
  return worthWay(
    chances.slice(first).map((chance, more) => ({
      choices: start.with(at, first + more),
      cost: price * (packsOf(first + more, packsLeast) - packsOf(first, packsLeast)),
      log: Math.log(chance),
    })),
  )
}

/** About how many products all groups of parts that hang together may take (`tiedWork`): a second or two. */
const TIED_WORK = 300_000_000

/** Places in a group of the parts that each of its causes brings in, the causes that come most often first. */
function broughtTogether({ lines }: PlanKnown, { group }: GroupKnown): number[][] {
  const ties = new Set(group.ties)
  const placeOf = new Map(group.parts.map((part, at) => [part, at]))
  const byTie = new Map<number, Set<number>>()
  for (const job of new Set(group.ties.map((tie) => lines.ties[tie]!.job)))
    for (const { tie, part } of lines.jobs[job]!)
      if (tie !== null && ties.has(tie)) byTie.set(tie, (byTie.get(tie) ?? new Set()).add(placeOf.get(part)!))
  const times = new Map<string, { set: number[]; count: number }>()
  for (const set of byTie.values()) {
    const sorted = [...set].sort((a, b) => a - b)
    const one = times.get(sorted.join()) ?? { set: sorted, count: 0 }
    one.count += 1
    times.set(sorted.join(), one)
  }
  return [...times.values()].sort((a, b) => b.count - a.count).map(({ set }) => set)
}

interface Way {
  items: Item[]
  points: WayPoint[]
}

/** What is worth buying of each group: of parts that hang together by the chance of all of them, where that can be gone through. */
function waysOf(
  known: PlanKnown,
  tables: readonly GroupTable[],
  itemsOf: readonly Item[][],
  isCounted: readonly boolean[],
): Way[] {
  const isTied = (group: number) => isCounted[group]! && tables[group]!.parts.length > 1 && itemsOf[group]!.length > 1
  const most = TIED_WORK / Math.max(1, tables.filter((_, group) => isTied(group)).length)
  return tables.flatMap((table, group): Way[] => {
    const items = itemsOf[group]!
    const start = table.parts.map(() => 0)
    for (const { at, first } of items) start[at] = first
    if (!isTied(group) || tiedWork(table) > most)
      return items.map((item) => ({ items: [item], points: partWay(item, start) }))
    const prices: number[] = []
    for (const { at, price } of items) prices[at] = price
    const together = broughtTogether(known, known.groups[group]!)
    return [{ items, points: tiedWay(table, { start, prices, together }) }]
  })
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
 * What is certain to lack comes first, machine by machine, those that the least money makes ready before the others. Every point
 * is the best for its money where each part's gains fall off; packs that only help together are stepped over at once. Parts that
 * hang together are bought by the chance of all of them (`tiedWay`); where they are too many, ranked each by itself. Reckoned
 * once; a budget is read off.
 */
export function readinessCurve(plan: WorkPlan, known: PlanKnown): Curve {
  const tables = known.groups.map((one) =>
    one.simulated === null ? exactTable(plan, known, one) : simulatedTable(plan, one, one.chance.runs!),
  )
  const itemsOf: Item[][] = tables.map(() => [])
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
      itemsOf[group]!.push({ group, at, part, packsLeast, chances, first, price: offer!.price })
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
  /** Brings items of one group to their choices, all at once. */
  const buy = (wanted: { item: Item; choice: number }[], isCertain: boolean, ratio: number) => {
    const { group } = wanted[0]!.item
    const own = chosen[group]!
    const lines = wanted.flatMap(({ item, choice }) => {
      const packs = packsOf(choice, item.packsLeast) - packsOf(own[item.at]!, item.packsLeast)
      own[item.at] = Math.max(own[item.at]!, choice)
      return packs > 0 ? [{ part: item.part, packs, cost: packs * item.price }] : []
    })
    const before = groupChances[group]!
    const after = Math.max(before, groupAt(tables[group]!, own))
    groupChances[group] = after
    if (isCounted[group]) {
      count(before, -1)
      count(after, 1)
    }
    cost += lines.reduce((sum, line) => sum + line.cost, 0)
    // A step never takes readiness away; what rounding of the logs takes back is not believed.
    readiness = Math.max(readiness, product())
    for (const [at, { part, packs }] of lines.entries())
      steps.push({ part, packs, cost, readiness, isCertain, ratio, isWithNext: at < lines.length - 1 })
  }
  const lacking = itemsOf.flat().filter(({ first }) => first > 0)
  for (const { item, choice } of certainOrder(plan, known.byPart, lacking, machinesNever(plan, known, leftOut)))
    buy([{ item: lacking[item]!, choice }], true, Number.POSITIVE_INFINITY)
  const ways = waysOf(known, tables, itemsOf, isCounted)
  const marginal = ways.map(
    ({ points }): MarginalPart => ({
      gain: (at) => (at + 1 < points.length ? points[at + 1]!.log - points[at]!.log : 0),
      cost: (at) => (at + 1 < points.length ? points[at + 1]!.cost - points[at]!.cost : 1),
    }),
  )
  const reached = ways.map(() => 0)
  for (const { part: at, pieces, gain } of stepsOf(marginal)) {
    const { points, items } = ways[at]!
    const before = points[reached[at]!]!
    const spent = points[reached[at]! + pieces]!.cost - before.cost
    // Points that are stepped over at once for their rate are still met one by one.
    for (const end = reached[at]! + pieces; reached[at]! < end; ) {
      reached[at]! += 1
      const { choices } = points[reached[at]!]!
      const wanted = items.map((item) => ({ item, choice: choices[item.at]! }))
      buy(wanted, false, spent > 0 ? gain / spent : Number.POSITIVE_INFINITY)
    }
  }
  return { start, steps, leftOut, hasTied: tables.some(({ parts }) => parts.length > 1), neededOn }
}

/** Machines of which some job waits for a part that cannot be had. */
function machinesNever(plan: WorkPlan, known: PlanKnown, leftOut: readonly number[]): Set<number> {
  const never = new Set<number>()
  const gone = new Set(leftOut)
  for (const { chance } of known.groups)
    for (const { part, jobs } of chance.parts)
      if (gone.has(part)) for (const [job, one] of jobs) if (one === 0) never.add(plan.jobs[job]!.machine)
  return never
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
