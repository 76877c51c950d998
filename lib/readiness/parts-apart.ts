import { nodesNeeded } from './part-wait.ts'
import type { WorkPlan } from './plan-check.ts'
import { groupCaseCount, type NeedLine, type PartGroup, type PlanLines, partGroups } from './plan-needs.ts'

/** Lines in which some parts know nothing of the others, and those parts. */
export interface LinesApart {
  lines: PlanLines
  apart: ReadonlySet<number>
  /** Those of them with so many looks that some are taken as plain chances: their own chances are near, to either side. */
  rough: ReadonlySet<number>
}

/** A group of so few cases times jobs is reckoned exactly in any case. */
const CASES_LEAST = 512

/** A part that stands apart is asked for by the chance of its cause; so is what a cause brings alone. */
function linesWithout({ jobs, ties }: PlanLines, apart: ReadonlySet<number>): PlanLines {
  const held = new Map<number, Set<number>>()
  const further = new Set<number>()
  for (const lines of jobs)
    for (const { tie, part, chance } of lines) {
      if (tie === null || apart.has(part)) continue
      held.set(tie, (held.get(tie) ?? new Set()).add(part))
      if (chance !== null) further.add(tie)
    }
  return {
    ties,
    jobs: jobs.map((lines) => {
      const own = new Map<string, NeedLine>()
      return lines.flatMap((line) => {
        if (line.tie === null) return [line]
        if (!apart.has(line.part) && (held.get(line.tie)!.size > 1 || further.has(line.tie))) return [line]
        // Several lines of one part that come or do not come together are one.
        const key = `${line.part} ${line.tie}`
        const before = own.get(key)
        const quantity = line.quantity * line.places
        if (before) {
          before.quantity += quantity
          return []
        }
        const one: NeedLine = { part: line.part, quantity, places: 1, chance: ties[line.tie]!.chance, tie: null }
        own.set(key, one)
        return [one]
      })
    }),
  }
}

/** Nodes that the looks of one part may take together in a walk along its jobs. */
const NODES_MOST = 64

/**
 * Of a part that stands apart, looks that ask it at one place only are plain chances, which is the same; so are, where there are
 * many, all but those that ask it at most places. What is left out then is that places of one look are worn together.
 */
function looksFew(
  lines: readonly NeedLine[][],
  plan: WorkPlan,
  apart: ReadonlySet<number>,
): { jobs: NeedLine[][]; rough: Set<number> } {
  const places = new Map<number, Map<number, number>>()
  for (const own of lines)
    for (const { part, chance, places: at } of own)
      if (apart.has(part) && chance !== null && 'look' in chance) {
        const looks = places.get(part) ?? new Map<number, number>()
        places.set(part, looks.set(chance.look, (looks.get(chance.look) ?? 0) + at))
      }
  const kept = new Map<number, Set<number>>()
  const rough = new Set<number>()
  for (const [part, looks] of places) {
    let nodes = 1
    const own = new Set<number>()
    for (const [look, at] of [...looks].sort(([a, m], [b, n]) => n - m || a - b)) {
      nodes *= nodesNeeded(at)
      if (at > 1 && nodes <= NODES_MOST) own.add(look)
      else if (at > 1) rough.add(part)
    }
    kept.set(part, own)
  }
  const jobs = lines.map((own) =>
    own.map((line) => {
      if (!apart.has(line.part) || line.chance === null || !('look' in line.chance)) return line
      if (kept.get(line.part)!.has(line.chance.look)) return line
      const { a, b } = plan.looks[line.chance.look]!
      return { ...line, chance: { given: a / (a + b) } }
    }),
  )
  return { jobs, rough }
}

interface Bonds {
  /** Jobs that ask for each part. */
  steps: Map<number, number>
  /** Lines of each part that a cause or a look decides. */
  bonds: Map<number, number>
  /** Parts whose need hangs on a further chance than that of their cause: those cannot be taken out. */
  fixed: Set<number>
}

function bondsOf({ jobs }: PlanLines, apart: ReadonlySet<number>): Bonds {
  const found: Bonds = { steps: new Map(), bonds: new Map(), fixed: new Set() }
  for (const lines of jobs) {
    for (const part of new Set(lines.map((line) => line.part))) found.steps.set(part, (found.steps.get(part) ?? 0) + 1)
    for (const { part, tie, chance } of lines) {
      if (apart.has(part)) continue
      if (tie !== null && chance !== null) found.fixed.add(part)
      if (tie !== null || (chance !== null && 'look' in chance)) found.bonds.set(part, (found.bonds.get(part) ?? 0) + 1)
    }
  }
  return found
}

/** Parts of a group that most causes and looks bring in. */
function hubsOf({ parts }: PartGroup, { bonds, fixed }: Bonds): number[] {
  const free = parts.filter((part) => bonds.has(part) && !fixed.has(part))
  const most = Math.max(...free.map((part) => bonds.get(part)!))
  return free.filter((part) => bonds.get(part) === most)
}

/**
 * Takes parts out of groups that are too large to be reckoned exactly, those first that hang together with most others: the
 * cleaner of every service before the seal of one bearing. Each of them is then reckoned by itself with the same chances (of very
 * many looks as `looksFew` says); only that it is needed together with others is left out of the chances of jobs, machines and the plan. Those can only
 * be better than what is said: needs that rise together are associated, so the chance that all are met is no less than the
 * product of the chances (Esary, Proschan and Walkup, Association of random variables, with applications, Annals of Mathematical
 * Statistics 38, 1967, 1466 to 1474; from memory). `casesAll`: cases times jobs that all groups may have together.
 */
export function linesApart(plan: WorkPlan, whole: PlanLines, casesAll: number): LinesApart {
  const apart = new Set<number>()
  let lines = whole
  let most = Number.NaN
  for (;;) {
    const groups = partGroups(plan, lines, apart).filter((group) => groupCaseCount(group) > 1)
    if (Number.isNaN(most)) most = Math.max(Math.min(casesAll, CASES_LEAST), casesAll / Math.max(1, groups.length))
    const known = bondsOf(lines, apart)
    const isLarge = (group: PartGroup) =>
      groupCaseCount(group) * group.parts.reduce((sum, part) => sum + (known.steps.get(part) ?? 0), 0) > most
    const hubs = groups.filter(isLarge).flatMap((group) => hubsOf(group, known))
    if (hubs.length === 0) {
      const { jobs, rough } = looksFew(lines.jobs, plan, apart)
      return { lines: { ...lines, jobs }, apart, rough }
    }
    for (const part of hubs) apart.add(part)
    lines = linesWithout(whole, apart)
  }
}
