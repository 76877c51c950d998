import { strongest } from '../companion/draft.ts'
import { actStage, type Rule } from '../companion/rule.ts'
import type { RuleOrigin } from '../companion/rule-book.ts'
import { ACT_STAGES, type ActStage, type Family, STRENGTHS, type Strength } from '../companion/rule-terms.ts'
import { placeSays } from '../figure/shaft-end.ts'
import type { StockUnit } from '../measure/quantity.ts'

/** What a person does with a row: fetch it from the shelf, put it on, have it at hand, do it. In this order on the screen. */
export const NEED_GROUPS = ['take', 'consumables', 'protect', 'tools', 'do'] as const
export type NeedGroup = (typeof NEED_GROUPS)[number]

/** One line of a job as it is kept. Quantities in minor units of `unit`. */
export interface RowNeed {
  id: number
  key: string
  kind: 'part' | 'consumable' | 'act'
  part: { id: number } | null
  positions: readonly string[]
  description: string
  strength: Strength
  unit: StockUnit
  suggested: number
  wanted: number
  state: 'open' | 'accepted' | 'declined' | 'in-kit'
  declineReason: string | null
  insteadOf: string | null
  reasons: readonly { ruleId: string; words: string; source: string; strength: string; origin?: RuleOrigin }[]
}

export interface RowReason {
  words: string
  strength: Strength
  /** Where it is not the shipped rule that says so. */
  origin?: RuleOrigin
}

/** Lines of a job that are one thing to the person: answered together, counted together. */
export interface NeedRow<N extends RowNeed> {
  /** The same while its lines are in the same state. */
  key: string
  group: NeedGroup
  /** When it is done; null for what is fetched. */
  stage: ActStage | null
  state: N['state']
  needs: N[]
  strength: Strength
  positions: string[]
  /** What is wanted in all: as suggested while open, as decided after. */
  quantity: number
  reasons: RowReason[]
  /** Each once, in the order of the reasons. */
  sources: string[]
}

type RuleFacts = Pick<Rule, 'id' | 'family' | 'then'>

const FITTED: readonly Family[] = ['pair', 'opposite', 'set', 'single-use']

/** Places as they are said: LH and RH; 3, 9 and 15; drive end. */
export function positionsSay(codes: readonly string[]): string {
  const said = codes.map(placeSays)
  return said.length < 2 ? said.join('') : `${said.slice(0, -1).join(', ')} and ${said.at(-1)}`
}

function placeOf(need: RowNeed, rules: ReadonlyMap<string, RuleFacts>): { group: NeedGroup; stage: ActStage | null } {
  const own = need.reasons.flatMap((reason) => rules.get(reason.ruleId) ?? [])
  if (need.kind === 'act') {
    // A part that comes with another is no work: it stands with the parts, so that nobody looks for it.
    if (own.length > 0 && own.every((rule) => FITTED.includes(rule.family))) return { group: 'take', stage: null }
    const stage = own[0] ? actStage(own[0]) : 'apart'
    const before = stage === 'before' ? 'protect' : 'do'
    return { group: stage === 'bring' ? 'tools' : before, stage }
  }
  if (own.some((rule) => rule.family === 'protection')) return { group: 'protect', stage: null }
  return { group: need.kind === 'consumable' ? 'consumables' : 'take', stage: null }
}

/** What must be the same for two lines to be one row, their side apart. */
function sameThing(need: RowNeed, stage: ActStage | null): string {
  const decided = [need.state, need.insteadOf ?? '', need.state === 'declined' ? (need.declineReason ?? '') : '']
  const thing =
    stage !== null
      ? ['stage', stage]
      : need.kind === 'act'
        ? ['note', need.key]
        : need.part
          ? ['part', need.part.id]
          : ['wanted', need.description, need.unit]
  return [...thing, ...decided].join('\n')
}

function reasonsOf(needs: readonly RowNeed[]): Pick<NeedRow<RowNeed>, 'reasons' | 'sources'> {
  const strengths = new Map<string, Strength[]>()
  const all = needs.flatMap((need) => need.reasons)
  for (const { words, strength } of all) strengths.set(words, [...(strengths.get(words) ?? []), strength as Strength])
  const reasons = [...strengths].map(([words, given]): RowReason => {
    const origin = all.find((reason) => reason.words === words)?.origin
    return { words, strength: strongest(given), ...(origin ? { origin } : {}) }
  })
  reasons.sort((a, b) => STRENGTHS.indexOf(a.strength) - STRENGTHS.indexOf(b.strength))
  return { reasons, sources: [...new Set(all.map((reason) => reason.source))] }
}

const quantityOf = (need: RowNeed) => (need.state === 'open' ? need.suggested : need.wanted)

/**
 * The lines of a job as rows: the same part or consumable is one row with the sum of what its lines ask for, acts of one stage of
 * the work are one row, and every reason is kept. The strongest strength counts for the whole row. A line of the other side joins
 * while it is asked for as strongly as this side: a side that may stay shut keeps a row of its own. What is answered never
 * stands with what is open. Rows come by group, then must, should, consider (acts: in the order of work), then as the lines came.
 */
export function needRows<N extends RowNeed>(needs: readonly N[], ruleList: readonly RuleFacts[]): NeedRow<N>[] {
  const rules = new Map(ruleList.map((rule) => [rule.id, rule]))
  const rows = new Map<string, { group: NeedGroup; stage: ActStage | null; needs: N[] }>()
  const isOther = (need: N) => need.key.endsWith('+other')
  for (const need of [...needs.filter((one) => !isOther(one)), ...needs.filter(isOther)]) {
    const { group, stage } = placeOf(need, rules)
    const thing = sameThing(need, stage)
    const known = rows.get(thing)
    const apart = known && isOther(need) && need.state === 'open' && strengthOf(known.needs) !== need.strength
    const key = apart ? `${thing}\nother side\n${need.strength}` : thing
    const row = rows.get(key) ?? { group, stage, needs: [] }
    row.needs.push(need)
    rows.set(key, row)
  }
  const order = new Map(needs.map((need, at) => [need.id, at]))
  return [...rows]
    .map(([key, { group, stage, needs: own }]): NeedRow<N> => {
      const sorted = stage === null ? own : [...own].sort((a, b) => rank(a.strength) - rank(b.strength))
      return {
        key,
        group,
        stage,
        state: own[0]!.state,
        needs: sorted,
        strength: strengthOf(own),
        positions: [...new Set(own.flatMap((need) => need.positions))],
        quantity: own.reduce((sum, need) => sum + quantityOf(need), 0),
        ...reasonsOf(own),
      }
    })
    .sort(
      (a, b) =>
        NEED_GROUPS.indexOf(a.group) - NEED_GROUPS.indexOf(b.group) ||
        Number(a.stage !== null) - Number(b.stage !== null) ||
        (a.stage !== null && b.stage !== null ? ACT_STAGES.indexOf(a.stage) - ACT_STAGES.indexOf(b.stage) : 0) ||
        rank(a.strength) - rank(b.strength) ||
        order.get(a.needs[0]!.id)! - order.get(b.needs[0]!.id)!,
    )
}

const rank = (strength: Strength) => STRENGTHS.indexOf(strength)
const strengthOf = (needs: readonly RowNeed[]) => strongest(needs.map((need) => need.strength))

/**
 * Spreads what a person wants of a row over its lines, in their order, each up to what was suggested; what is more goes to the
 * first. No line gets less than is taken for it already.
 * Example: 3 of 2 for the left and 2 for the right are 2 and 1; 5 are 3 and 2.
 */
export function wantedShare(total: number, lines: readonly { suggested: number; taken: number }[]): number[] {
  let left = Math.max(0, total - lines.reduce((sum, line) => sum + line.taken, 0))
  const shares = lines.map((line) => {
    const more = Math.min(left, Math.max(0, line.suggested - line.taken))
    left -= more
    return line.taken + more
  })
  return shares.map((share, at) => (at === 0 ? share + left : share))
}
