import type { WorkChance, WorkPlan } from '../../lib/readiness/plan-check.ts'

/** One way a season may turn out: chance of it, and for each job what it needs of each part. */
interface Outcome {
  chance: number
  needs: Map<number, number>[]
}

/**
 * Every way in which looks and causes of a small plan may turn out, place after place: a look that is learned is drawn like
 * balls from Polya's urn, each result counted before the next place is looked at. Shares no code with the reckoning. A plan
 * without failures only; theirs have no end.
 */
export function outcomes(plan: WorkPlan): Outcome[] {
  interface Branch extends Outcome {
    hits: Map<number, [hits: number, looks: number]>
  }
  let branches: Branch[] = [{ chance: 1, needs: plan.jobs.map(() => new Map()), hits: new Map() }]
  const split = (branch: Branch, of: WorkChance): [Branch, Branch] => {
    const copy = (): Branch => ({
      chance: branch.chance,
      needs: branch.needs.map((one) => new Map(one)),
      hits: new Map(branch.hits),
    })
    const [yes, no] = [copy(), copy()]
    let chance = 'given' in of ? of.given : 0
    if ('look' in of) {
      const { a, b } = plan.looks[of.look]!
      const [hits, looks] = branch.hits.get(of.look) ?? [0, 0]
      chance = (a + hits) / (a + b + looks)
      yes.hits.set(of.look, [hits + 1, looks + 1])
      no.hits.set(of.look, [hits, looks + 1])
    }
    yes.chance *= chance
    no.chance *= 1 - chance
    return [yes, no]
  }
  for (const [at, job] of plan.jobs.entries()) {
    const add = (branch: Branch, part: number, quantity: number) =>
      branch.needs[at]!.set(part, (branch.needs[at]!.get(part) ?? 0) + quantity)
    const lineIn = (from: Branch[], { part, quantity, places, chance }: (typeof job.lines)[number]): Branch[] => {
      let list = from
      for (let place = 0; place < places; place++)
        list = list.flatMap((branch) => {
          if (chance === null) {
            add(branch, part, quantity)
            return [branch]
          }
          const [yes, no] = split(branch, chance)
          add(yes, part, quantity)
          return [yes, no]
        })
      return list
    }
    for (const line of job.lines.filter(({ cause }) => cause === null)) branches = lineIn(branches, line)
    for (const [cause, { chance }] of job.causes.entries()) {
      const own = job.lines.filter((line) => line.cause === cause)
      if (own.length === 0) continue
      branches = branches.flatMap((branch) => {
        const [opened, closed] = split(branch, chance)
        return [...own.reduce(lineIn, [opened]), closed]
      })
    }
  }
  return branches
}

export interface Judged {
  plan: number
  jobs: number[]
  machines: number[]
}

/** Hands the parts out job by job in each outcome, with so many pieces bought of each part that come on a day. */
export function judged(
  plan: WorkPlan,
  bought: ReadonlyMap<number, { pieces: number; arrives: string }> = new Map(),
): Judged {
  const answer: Judged = { plan: 0, jobs: plan.jobs.map(() => 0), machines: plan.machines.map(() => 0) }
  for (const { chance, needs } of outcomes(plan)) {
    const given = plan.parts.map(() => 0)
    const waits = plan.jobs.map(({ date }, at) => {
      let isShort = false
      for (const [part, quantity] of needs[at]!) {
        const { free, onOrder } = plan.parts[part]!
        let there = free
        for (const order of onOrder) if (order.date <= date) there += order.quantity
        const more = bought.get(part)
        if (more && more.arrives <= date) there += more.pieces
        given[part]! += quantity
        if (given[part]! > there) isShort = true
      }
      return isShort
    })
    if (!waits.includes(true)) answer.plan += chance
    for (const [at, isShort] of waits.entries()) if (!isShort) answer.jobs[at]! += chance
    for (const machine of plan.machines.keys())
      if (!plan.jobs.some((job, at) => job.machine === machine && waits[at])) answer.machines[machine]! += chance
  }
  return answer
}
