import type { Rule } from '../../lib/companion/rule.ts'
import type { PartOnFile } from '../../lib/companion/suggest.ts'
import { jobPlan } from '../../lib/job/plan.ts'
import type { PlanFigure, PlanTarget } from '../../lib/job/plan-figure.ts'
import { type Random, randomChance, randomPick } from '../../lib/maths/random.ts'

export interface NeedDraft {
  key: string
  origin: 'target' | 'suggestion' | 'by-hand'
  kind: 'part' | 'consumable' | 'act'
  partId: number | null
  item: string | null
  positions: string[]
  description: string
  strength: 'must' | 'should' | 'consider'
  suggested: number
  wanted: number
  state: 'open' | 'accepted' | 'declined'
  declineReason: string | null
  reasons: string
  sort: number
}

export interface CheckDraft {
  kind: 'strip' | 'rebuild' | 'test' | 'after-run'
  sort: number
  key: string
  text: string
}

export interface TargetDraft extends PlanTarget {
  lineId: number
}

export interface ExtraNeed {
  partId: number
  description: string
  quantity: number
}

/** A job before it meets the shelf: what it wants, whoever has it. */
export interface JobDraft {
  machineId: number
  day: number
  kind: 'repair' | 'service'
  complaint: string
  cause: string
  correction: string
  labourMinutes: number
  targets: TargetDraft[]
  needs: NeedDraft[]
  checks: CheckDraft[]
}

const LEFT = [
  'Looked at, sound',
  'Renewed last winter, still good',
  'Measured, inside the limit',
  'Left for the winter service',
  'Driver needs it back today',
]
const OWN_GEAR = ['Has a good pair', 'Own one in the bag']
const GEAR = new Set(['gloves', 'eye-protection', 'dust-mask'])

/** How a mechanic decides on what is offered; the chances are common practice, no source. */
function decided(need: NeedDraft, gear: boolean, random: Random): NeedDraft {
  const yes: NeedDraft = { ...need, state: 'accepted' }
  const no = (reasons: readonly string[]): NeedDraft => ({
    ...need,
    state: 'declined',
    declineReason: randomPick(random, reasons),
  })
  if (gear && need.strength !== 'consider') return randomChance(random, 0.3) ? yes : no(OWN_GEAR)
  // Precautions are kept: nobody books having left one out.
  if (need.kind === 'act') return need.strength !== 'consider' || randomChance(random, 0.3) ? yes : need
  if (need.partId === null) return need.strength === 'consider' ? need : no(['Not kept here, nothing on file fits'])
  if (need.strength === 'must') return randomChance(random, 0.96) ? yes : no(LEFT)
  if (need.strength === 'should') return randomChance(random, 0.72) ? yes : no(LEFT)
  return randomChance(random, 0.3) ? yes : randomChance(random, 0.4) ? no(LEFT) : need
}

/**
 * Needs and checks of a job on these targets, as the rules of the shop make them: the plan is drawn up, the mechanic
 * decides, and the plan is drawn up again, because agreeing to the other side opens that side too.
 */
export function jobDraftPlan(input: {
  figures: readonly PlanFigure[]
  targets: readonly TargetDraft[]
  extra: readonly ExtraNeed[]
  rules: readonly Rule[]
  shelf: readonly PartOnFile[]
  random: Random
}): { needs: NeedDraft[]; checks: CheckDraft[] } {
  const { figures, targets, rules, shelf, random } = input
  const gearIds = new Set(shelf.filter((part) => GEAR.has(part.partClass)).map((part) => part.partId))
  const decisions = new Map<string, NeedDraft>()
  const alsoStripped = new Map<number, string[]>()
  let plan = jobPlan({ figures, targets, rules, shelf })
  for (let round = 0; round < 2; round++) {
    for (const [at, suggestion] of plan.suggestions.entries()) {
      if (decisions.has(suggestion.jobKey)) continue
      const { kind, partId, item, positions, strength, quantity, reasons, wanted } = suggestion
      const description = wanted ? `${suggestion.description} (${wanted})` : suggestion.description
      const need: NeedDraft = {
        key: suggestion.jobKey,
        origin: 'suggestion',
        kind,
        partId,
        item,
        positions,
        description,
        strength,
        suggested: quantity,
        wanted: quantity,
        state: 'open',
        declineReason: null,
        reasons: JSON.stringify(reasons),
        sort: 1000 + at,
      }
      const made = decided(need, partId !== null && gearIds.has(partId), random)
      decisions.set(need.key, made)
      const codes =
        figures.find((figure) => figure.id === suggestion.figureId)?.positions.map((position) => position.code) ?? []
      if (made.state === 'accepted') {
        const more = positions.filter((code) => codes.includes(code))
        alsoStripped.set(suggestion.figureId, [...(alsoStripped.get(suggestion.figureId) ?? []), ...more])
      }
    }
    const renewed = [...decisions.values()].flatMap(({ key, item, kind, state, partId, positions, wanted }) => {
      if (kind !== 'part' || state !== 'accepted' || item === null || partId === null) return []
      const figureId = Number(key.split(':')[0])
      const partNumber = figures.flatMap((figure) => figure.lines).find((line) => line.partId === partId)?.partNumber
      return partNumber === undefined ? [] : [{ figureId, item, partNumber, positions, quantity: wanted }]
    })
    plan = jobPlan({ figures, targets, rules, shelf, alsoStripped, renewed })
  }
  const own = targets.map((target, sort): NeedDraft => {
    const line = figures
      .find((figure) => figure.id === target.figureId)!
      .lines.find((one) => one.lineId === target.lineId)!
    return {
      key: `${target.figureId}:target:${target.lineId}`,
      origin: 'target',
      kind: 'part',
      partId: line.partId,
      item: line.item,
      positions: [...target.positions],
      description: line.description,
      strength: 'must',
      suggested: target.quantity,
      wanted: target.quantity,
      state: 'accepted',
      declineReason: null,
      reasons: '[]',
      sort,
    }
  })
  const byHand = input.extra.map(
    (extra): NeedDraft => ({
      key: `by-hand:${extra.partId}`,
      origin: 'by-hand',
      kind: 'part',
      partId: extra.partId,
      item: null,
      positions: [],
      description: extra.description,
      strength: 'should',
      suggested: extra.quantity,
      wanted: extra.quantity,
      state: 'accepted',
      declineReason: null,
      reasons: '[]',
      sort: 5000,
    }),
  )
  const steps = (kind: CheckDraft['kind'], list: readonly { key: string; text: string }[]) =>
    list.map(({ key, text }, sort) => ({ kind, sort, key, text }))
  return {
    needs: [...own, ...decisions.values(), ...byHand],
    checks: [
      ...steps('strip', plan.strip),
      ...steps('rebuild', plan.rebuild),
      ...steps('test', plan.tests),
      ...steps('after-run', plan.afterRun),
    ],
  }
}
