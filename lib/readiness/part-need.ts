import { daysBetween, type PlainDate } from '../service/plain-date.ts'
import {
  betaBinomialPieces,
  binomialPieces,
  failurePieces,
  NO_PIECES,
  type Pieces,
  piecesSum,
  piecesTimes,
} from './pieces.ts'
import type { WorkChance, WorkPart, WorkPlan } from './plan-check.ts'

/** `places` of which each takes `quantity` with a chance. */
export interface NeedSource {
  places: number
  quantity: number
  chance: WorkChance
}

/** What one job needs of the part. */
export interface NeedStep {
  job: number
  /** Day by which it must be there. */
  date: PlainDate
  /** Share of the season's failures that came before, never falling from step to step. */
  share: number
  fixed: number
  sources: NeedSource[]
}

/** Need of one part in the order in which jobs are given their parts. Quantities are smallest units of the part. */
export interface PartNeed {
  part: number
  steps: NeedStep[]
  /** All that is uncertain comes in multiples of this. */
  grain: number
  failures: WorkPart['failures']
  looks: WorkPlan['looks']
}

/** Share of the season's failures that come before a day, spread evenly over what is left of it. */
export function seasonShare({ today, season }: Pick<WorkPlan, 'today' | 'season'>, date: PlainDate): number {
  const from = today > season.from ? today : season.from
  const days = daysBetween(from, season.until) + 1
  return days <= 0 ? 0 : Math.min(1, Math.max(0, daysBetween(from, date) / days))
}

function greatestCommon(a: number, b: number): number {
  return b === 0 ? a : greatestCommon(b, a % b)
}

/** Steps as they were handed in, with what all of them have in common worked out. */
export function partNeed(plan: WorkPlan, part: number, steps: readonly Omit<NeedStep, 'share'>[]): PartNeed {
  const { failures } = plan.parts[part]!
  let grain = failures?.quantity ?? 0
  let share = 0
  const shared = steps.map((step): NeedStep => {
    for (const { quantity } of step.sources) grain = greatestCommon(quantity, grain)
    // A job that comes first but is done later is promised its parts today: failures until then count for those behind it too.
    share = Math.max(share, seasonShare(plan, step.date))
    return { ...step, share }
  })
  return { part, steps: shared, grain: Math.max(1, grain), failures, looks: plan.looks }
}

/** Places of one look by what each takes, as multiples of the grain. */
type LookPlaces = Map<number, number>

/** How many pieces the places of one look take together, when they share a chance known as Beta(a, b). */
function lookPieces([...groups]: Iterable<readonly [number, number]>, a: number, b: number): Pieces {
  const [first, ...others] = groups
  if (!first) return NO_PIECES
  const [quantity, places] = first
  const worn = betaBinomialPieces(places, a, b)
  if (others.length === 0) return piecesTimes(worn, quantity)
  // What the first places showed is known when the others are looked at (Polya's urn).
  let sum = new Float64Array(1)
  for (let at = 0; at < worn.chances.length; at++) {
    const hits = worn.from + at
    const rest = lookPieces(others, a + hits, b + places - hits)
    const from = hits * quantity + rest.from
    if (from + rest.chances.length > sum.length) {
      const longer = new Float64Array(from + rest.chances.length)
      longer.set(sum)
      sum = longer
    }
    for (let k = 0; k < rest.chances.length; k++) sum[from + k]! += worn.chances[at]! * rest.chances[k]!
  }
  return { from: 0, chances: sum }
}

/** Everything that is needed up to and including some step, gathered step by step. */
export class NeedSoFar {
  fixed = 0
  private independent: Pieces = NO_PIECES
  private readonly places = new Map<number, LookPlaces>()
  private readonly worn = new Map<number, Pieces>()
  private readonly need: PartNeed

  constructor(need: PartNeed) {
    this.need = need
  }

  add(step: NeedStep): void {
    this.fixed += step.fixed
    for (const { places, quantity, chance } of step.sources) {
      const times = quantity / this.need.grain
      if ('given' in chance) {
        this.independent = piecesSum(this.independent, piecesTimes(binomialPieces(places, chance.given), times))
        continue
      }
      const groups: LookPlaces = this.places.get(chance.look) ?? new Map()
      groups.set(times, (groups.get(times) ?? 0) + places)
      this.places.set(chance.look, groups)
      this.worn.delete(chance.look)
    }
  }

  /**
   * What planned work needs, in grains: independent parts whose sum it is. `sound` are places of looks that are known to have
   * been found sound; in whatever order they are looked at, they tell the same of the others.
   */
  planned(sound?: ReadonlyMap<number, number>): Pieces[] {
    const parts = [this.independent]
    for (const [look, groups] of this.places) {
      const { a, b } = this.need.looks[look]!
      const extra = sound?.get(look) ?? 0
      const worn = (extra === 0 ? this.worn.get(look) : undefined) ?? lookPieces(groups, a, b + extra)
      if (extra === 0) this.worn.set(look, worn)
      parts.push(worn)
    }
    return parts
  }

  /** The same with the failures that came before. */
  all(share: number, sound?: ReadonlyMap<number, number>): Pieces[] {
    return [...this.planned(sound), ...failuresBefore(this.need, share)]
  }
}

export function failuresBefore({ failures, grain }: PartNeed, share: number): Pieces[] {
  if (!failures || share === 0) return []
  return [piecesTimes(failurePieces(failures.mean * share, failures.shape), failures.quantity / grain)]
}
