import { orderArrives } from './order-day.ts'
import type { PartNeed } from './part-need.ts'
import { grainsMost, needLimits, planChance, planChancesBought } from './part-wait.ts'
import type { WorkPlan } from './plan-check.ts'
import { groupCases } from './plan-needs.ts'
import type { GroupKnown, PlanKnown } from './readiness.ts'
import type { BoughtTable, GroupTable } from './tied-way.ts'

/** Packs of one part that are looked at; more bring nothing that anybody sees. */
const PACKS_MOST = 5000
/** So near to what can be reached at all, further packs are not looked at. */
const NEAR = 1e-7

/** A row by packs as a row by choices. */
function choices(row: readonly number[], packsLeast: number): Float64Array {
  return Float64Array.from([row[0]!, ...row.slice(packsLeast)])
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

export function exactTable(plan: WorkPlan, known: PlanKnown, { group }: GroupKnown): GroupTable {
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

/** Runs of a simulation in which some job waited are cases, all others one more. */
export function simulatedTable(plan: WorkPlan, { group, simulated }: GroupKnown, runs: number): GroupTable {
  const { shorts } = simulated!
  const waiting = [...new Set(shorts.flatMap((byRun) => [...byRun.keys()]))].sort((a, b) => a - b)
  const packsByRun = group.parts.map((part, at) => {
    const bought = purchase(plan, part)
    return waiting.map((run) =>
      (shorts[at]!.get(run) ?? []).reduce((most, { job, short }) => {
        const isInTime = bought !== null && bought.arrives <= plan.jobs[job]!.date
        return Math.max(most, isInTime ? Math.ceil(short / bought.pack) : Number.POSITIVE_INFINITY)
      }, 0),
    )
  })
  // Runs that lack the same are one case.
  const alike = new Map<string, { packs: number[]; count: number }>()
  for (const at of waiting.keys()) {
    const packs = packsByRun.map((byRun) => byRun[at]!)
    const one = alike.get(packs.join()) ?? { packs, count: 0 }
    one.count += 1
    alike.set(packs.join(), one)
  }
  const cases = [...alike.values()]
  const weights = [...cases.map(({ count }) => count / runs), 1 - waiting.length / runs]
  const parts = group.parts.map((part, at): BoughtTable => {
    const packsFor = cases.map(({ packs }) => packs[at]!)
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
