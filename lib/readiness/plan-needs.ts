import { type NeedSource, type NeedStep, type PartNeed, partNeed } from './part-need.ts'
import { type LookCase, lookCases, nodesNeeded } from './part-wait.ts'
import type { WorkChance, WorkPlan } from './plan-check.ts'

/** A line of a job, a cause that only brings one part in included: it is a place of its own then. */
export interface NeedLine {
  part: number
  quantity: number
  places: number
  chance: WorkChance | null
  /** Place in the list of causes that tie parts together. */
  tie: number | null
}

/** A cause that brings several parts in, or one part by a further chance. */
export interface Tie {
  job: number
  chance: WorkChance
}

/** All lines by job with what ties them, before anything is reckoned. */
export interface PlanLines {
  jobs: NeedLine[][]
  ties: Tie[]
}

/** A look that only one place ever asks is a plain chance. */
function looksUsedOnce(jobs: readonly NeedLine[][], ties: readonly Tie[], plan: WorkPlan): ReadonlyMap<number, number> {
  const uses = new Map<number, number>()
  const note = (chance: WorkChance | null, times: number) => {
    if (chance && 'look' in chance) uses.set(chance.look, (uses.get(chance.look) ?? 0) + times)
  }
  for (const lines of jobs) for (const { chance, places } of lines) note(chance, places)
  for (const { chance } of ties) note(chance, 1)
  return new Map(
    [...uses].flatMap(([look, times]) => {
      const { a, b } = plan.looks[look]!
      return times === 1 ? [[look, a / (a + b)]] : []
    }),
  )
}

export function planLines(plan: WorkPlan): PlanLines {
  const ties: Tie[] = []
  const jobs = plan.jobs.map((job, at) => {
    const lines: NeedLine[] = job.lines
      .filter(({ cause }) => cause === null)
      .map(({ cause: _, ...line }) => ({ ...line, tie: null }))
    for (const [cause, { chance }] of job.causes.entries()) {
      const own = job.lines.filter((line) => line.cause === cause)
      const [first] = own
      if (!first) continue
      if (own.every((line) => line.part === first.part && line.chance === null)) {
        const quantity = own.reduce((sum, line) => sum + line.quantity * line.places, 0)
        lines.push({ part: first.part, quantity, places: 1, chance, tie: null })
        continue
      }
      ties.push({ job: at, chance })
      for (const { cause: _, ...line } of own) lines.push({ ...line, tie: ties.length - 1 })
    }
    return lines
  })
  const once = looksUsedOnce(jobs, ties, plan)
  const plain = (chance: WorkChance): WorkChance => {
    const mean = 'look' in chance ? once.get(chance.look) : undefined
    return mean === undefined ? chance : { given: mean }
  }
  return {
    jobs: jobs.map((lines) => lines.map((line) => ({ ...line, chance: line.chance && plain(line.chance) }))),
    ties: ties.map((tie) => ({ ...tie, chance: plain(tie.chance) })),
  }
}

/** Parts that hang together, by causes that bring several of them in or by looks that several of them share. */
export interface PartGroup {
  parts: number[]
  ties: number[]
  /** Shared looks, with how many places and causes ask them. */
  looks: Map<number, number>
}

/** Most parts are a group of one. Groups in the order of their first part. Nothing is shared with parts that stand `apart`. */
export function partGroups(
  plan: WorkPlan,
  { jobs, ties }: PlanLines,
  apart: ReadonlySet<number> = new Set(),
): PartGroup[] {
  const above = plan.parts.map((_, at) => at)
  const top = (part: number): number => {
    let at = part
    while (above[at] !== at) {
      above[at] = above[above[at]!]!
      at = above[at]!
    }
    return at
  }
  const join = (a: number, b: number) => {
    const [one, other] = [top(a), top(b)]
    if (one !== other) above[Math.max(one, other)] = Math.min(one, other)
  }
  const tiePart = new Map<number, number>()
  const lookPart = new Map<number, number>()
  const lookUses = new Map<number, number>()
  const shared = new Set<number>()
  const noteLook = (chance: WorkChance | null, part: number, times: number) => {
    if (!chance || !('look' in chance) || apart.has(part)) return
    const other = lookPart.get(chance.look)
    if (other === undefined) lookPart.set(chance.look, part)
    else if (other !== part) {
      shared.add(chance.look)
      join(other, part)
    }
    lookUses.set(chance.look, (lookUses.get(chance.look) ?? 0) + times)
  }
  const used = new Set<number>()
  for (const lines of jobs)
    for (const { part, chance, places, tie } of lines) {
      used.add(part)
      noteLook(chance, part, places)
      if (tie === null) continue
      const other = tiePart.get(tie)
      if (other === undefined) tiePart.set(tie, part)
      else join(other, part)
      // What lies behind a cause is only asked when it is opened: its look is taken as shared.
      if (chance && 'look' in chance) shared.add(chance.look)
    }
  for (const [tie, part] of tiePart) {
    const { chance } = ties[tie]!
    noteLook(chance, part, 1)
    if ('look' in chance) shared.add(chance.look)
  }
  const groups = new Map<number, PartGroup>()
  for (const part of [...used].sort((a, b) => a - b)) {
    const first = top(part)
    const group: PartGroup = groups.get(first) ?? { parts: [], ties: [], looks: new Map() }
    group.parts.push(part)
    groups.set(first, group)
  }
  for (const [tie, part] of tiePart) groups.get(top(part))!.ties.push(tie)
  for (const look of shared) groups.get(top(lookPart.get(look)!))!.looks.set(look, lookUses.get(look)!)
  return [...groups.values()]
}

/** What the jobs need of each part of a group, given which causes were opened and the chances of shared looks. */
export interface GroupCase {
  weight: number
  needs: PartNeed[]
}

/** Steps of each part that all cases have in common, so that a case only fills in what it knows. */
export function linesByPart({ jobs }: PlanLines): Map<number, { job: number; lines: NeedLine[] }[]> {
  const byPart = new Map<number, { job: number; lines: NeedLine[] }[]>()
  for (const [job, lines] of jobs.entries())
    for (const line of lines) {
      const steps = byPart.get(line.part) ?? []
      if (steps.at(-1)?.job === job) steps.at(-1)!.lines.push(line)
      else steps.push({ job, lines: [line] })
      byPart.set(line.part, steps)
    }
  return byPart
}

export type LinesByPart = ReturnType<typeof linesByPart>

function needGiven(
  plan: WorkPlan,
  part: number,
  steps: readonly { job: number; lines: NeedLine[] }[],
  looks: ReadonlyMap<number, number>,
  isOpened: (tie: number) => boolean,
): PartNeed {
  return partNeed(
    plan,
    part,
    steps.map(({ job, lines }): Omit<NeedStep, 'share'> => {
      let fixed = 0
      const sources: NeedSource[] = []
      for (const { quantity, places, chance, tie } of lines) {
        if (tie !== null && !isOpened(tie)) continue
        const known = chance && 'look' in chance ? looks.get(chance.look) : undefined
        if (chance === null) fixed += quantity * places
        else sources.push({ places, quantity, chance: known === undefined ? chance : { given: known } })
      }
      return { job, date: plan.jobs[job]!.date, fixed, sources }
    }),
  )
}

/** How many cases a group has: every combination of its causes, times the nodes of its shared looks. */
export function groupCaseCount({ ties, looks }: PartGroup): number {
  return [...looks.values()].reduce((count, uses) => count * nodesNeeded(uses), 2 ** ties.length)
}

/** The cases of a group one after the other; their weights add up to 1. */
export function* groupCases(
  plan: WorkPlan,
  group: PartGroup,
  { ties }: PlanLines,
  byPart: LinesByPart,
): Generator<GroupCase> {
  const given: LookCase[] = lookCases(group.looks, plan.looks)
  for (const { weight: lookWeight, chances } of given)
    for (let opened = 0; opened < 2 ** group.ties.length; opened++) {
      let weight = lookWeight
      const openedTies = new Set<number>()
      for (const [at, tie] of group.ties.entries()) {
        const { chance } = ties[tie]!
        const given = 'given' in chance ? chance.given : chances.get(chance.look)!
        const isOpened = (opened >> at) % 2 === 1
        if (isOpened) openedTies.add(tie)
        weight *= isOpened ? given : 1 - given
      }
      if (weight === 0) continue
      const isOpened = (tie: number) => openedTies.has(tie)
      yield {
        weight,
        needs: group.parts.map((part) => needGiven(plan, part, byPart.get(part)!, chances, isOpened)),
      }
    }
}
