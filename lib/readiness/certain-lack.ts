import type { WorkPlan } from './plan-check.ts'
import type { LinesByPart } from './plan-needs.ts'

/** A part of which some job lacks something for sure. `choice`: packs by how many are sold at least (`packsOf`). */
export interface CertainItem {
  part: number
  packsLeast: number
  price: number
  /** The choice with which no job waits for it for sure. */
  first: number
}

/** How many packs a choice is: none, as many as are sold at least, one more, and so on; what is below the least is no choice. */
export const packsOf = (choice: number, packsLeast: number) => (choice === 0 ? 0 : packsLeast + choice - 1)

/** For each item the choice that each machine needs at least; parts are given in the order of the jobs, so whoever comes later needs more. */
function levelsByMachine(plan: WorkPlan, byPart: LinesByPart, items: readonly CertainItem[]): Map<number, number>[] {
  const machines: Map<number, number>[] = plan.machines.map(() => new Map())
  for (const [at, { part, packsLeast, first }] of items.entries()) {
    const { free, onOrder, pack } = plan.parts[part]!
    let fixed = 0
    for (const { job, lines } of byPart.get(part)!) {
      let own = 0
      for (const { chance, tie, quantity, places } of lines)
        if (chance === null && tie === null) own += quantity * places
      fixed += own
      if (own === 0) continue
      const { date, machine } = plan.jobs[job]!
      const there = onOrder.reduce((sum, order) => (order.date <= date ? sum + order.quantity : sum), free)
      if (fixed <= there) continue
      const packs = Math.max(packsLeast, Math.ceil((fixed - there) / pack))
      const choice = Math.min(first, packs - packsLeast + 1)
      machines[machine]!.set(at, Math.max(choice, machines[machine]!.get(at) ?? 0))
    }
  }
  return machines
}

/** Machines by what they still cost, the cheapest on top; an entry that has become cheaper since is put in again. */
class Cheapest {
  private readonly heap: { machine: number; cost: number }[] = []

  private isBefore(a: number, b: number): boolean {
    const [one, other] = [this.heap[a]!, this.heap[b]!]
    return one.cost < other.cost || (one.cost === other.cost && one.machine < other.machine)
  }

  private swap(a: number, b: number): void {
    const kept = this.heap[a]!
    this.heap[a] = this.heap[b]!
    this.heap[b] = kept
  }

  add(machine: number, cost: number): void {
    this.heap.push({ machine, cost })
    for (let at = this.heap.length - 1; at > 0 && this.isBefore(at, (at - 1) >> 1); at = (at - 1) >> 1)
      this.swap(at, (at - 1) >> 1)
  }

  take(): { machine: number; cost: number } | null {
    if (this.heap.length === 0) return null
    this.swap(0, this.heap.length - 1)
    const top = this.heap.pop()!
    for (let at = 0; ; ) {
      let first = at
      for (const child of [2 * at + 1, 2 * at + 2])
        if (child < this.heap.length && this.isBefore(child, first)) first = child
      if (first === at) return top
      this.swap(at, first)
      at = first
    }
  }
}

/**
 * In which order to buy what is certain to lack: again and again all that the machine still lacks that is made good for the least
 * money, so that any sum makes as many machines ready as that brings. Machines of `never` wait for something that is not to be had:
 * they come last. Each answer is an item and the choice to bring it to; what one machine lacks stands together.
 */
export function certainOrder(
  plan: WorkPlan,
  byPart: LinesByPart,
  items: readonly CertainItem[],
  never: ReadonlySet<number>,
): { item: number; choice: number }[] {
  const machines = levelsByMachine(plan, byPart, items)
  const reached = items.map(() => 0)
  const wantedBy = items.map(() => [] as number[])
  for (const [machine, levels] of machines.entries()) for (const item of levels.keys()) wantedBy[item]!.push(machine)
  const costOf = (machine: number) => {
    let cost = 0
    for (const [item, choice] of machines[machine]!) {
      const { packsLeast, price } = items[item]!
      cost += price * Math.max(0, packsOf(choice, packsLeast) - packsOf(reached[item]!, packsLeast))
    }
    return cost
  }
  const order: { item: number; choice: number }[] = []
  const isDone = machines.map(({ size }) => size === 0)
  const serve = (asked: readonly number[]) => {
    const costs = new Map<number, number>()
    const cheapest = new Cheapest()
    const put = (machine: number) => {
      const cost = costOf(machine)
      if (costs.get(machine) === cost) return
      costs.set(machine, cost)
      cheapest.add(machine, cost)
    }
    for (const machine of asked) put(machine)
    for (let one = cheapest.take(); one !== null; one = cheapest.take()) {
      const { machine, cost } = one
      if (isDone[machine] || costs.get(machine) !== cost) continue
      isDone[machine] = true
      const bought: number[] = []
      for (const [item, choice] of machines[machine]!) {
        if (choice <= reached[item]!) continue
        reached[item] = choice
        order.push({ item, choice })
        bought.push(item)
      }
      for (const other of new Set(bought.flatMap((item) => wantedBy[item]!)))
        if (!isDone[other] && costs.has(other)) put(other)
    }
  }
  const all = plan.machines.map((_, machine) => machine)
  serve(all.filter((machine) => !isDone[machine] && !never.has(machine)))
  serve(all.filter((machine) => !isDone[machine]))
  // What lacks for sure for another reason, as a look that is always found worn.
  for (const [item, { first }] of items.entries()) if (reached[item]! < first) order.push({ item, choice: first })
  return order
}
