import type { StripEdge } from '../../lib/figure/strip-order.ts'
import { type ProposalLine, type StripProposal, stripProposal } from '../../lib/figure/strip-proposal.ts'
import { FIGURES } from '../../seed/figures/index.ts'

/** A figure whose strip order is known. */
export interface StripCase {
  slug: string
  lines: ProposalLine[]
  callouts: { item: string; tips: { x: number; y: number }[] }[]
  /** Pairs of which one is known to come off before the other, directly or through others. */
  truth: Pairs
}

/** "first then" of every pair. */
export type Pairs = ReadonlySet<string>

/** All that follows from some steps: a before b and b before c is a before c. */
export function pairsOf(edges: readonly StripEdge[]): Pairs {
  const after = new Map<string, Set<string>>()
  for (const { first, then } of edges) after.set(first, (after.get(first) ?? new Set()).add(then))
  const pairs = new Set<string>()
  for (const from of after.keys()) {
    const open = [from]
    const seen = new Set<string>()
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      for (const next of after.get(at) ?? []) {
        if (seen.has(next)) continue
        seen.add(next)
        open.push(next)
      }
    }
    for (const then of seen) pairs.add(`${from} ${then}`)
  }
  return pairs
}

/**
 * Kendall's tau of an order against a partial one: of the pairs whose order is known, the share placed right less the share
 * placed wrong, -1 to 1. Source: Kendall 1938, "A New Measure of Rank Correlation", Biometrika 30; pairs that the true order
 * leaves open are not counted.
 */
export function kendallTau(order: readonly string[], truth: Pairs): number {
  const place = new Map(order.map((item, at) => [item, at]))
  let sum = 0
  for (const pair of truth) {
    const [first, then] = pair.split(' ') as [string, string]
    sum += Math.sign(place.get(then)! - place.get(first)!)
  }
  return truth.size === 0 ? 0 : sum / truth.size
}

/** Figures that the proposal was made with; nobody looked at the others while it was made. */
export const DEVELOPED_WITH: ReadonlySet<string> = new Set([
  'belt-drive',
  'filters',
  'mower-gearbox',
  'parking-brake',
  'shredder-rotor',
  'sprayer-pump',
  'trailer-hub-brake',
])

export function stripCases(): StripCase[] {
  return FIGURES.map(({ slug, figure }) => {
    const { file } = figure()
    const lines = file.lines.map(
      (line): ProposalLine => ({
        item: line.item,
        description: line.description,
        partClass: line.partClass ?? 'other',
        indenture: line.indenture ?? 1,
        ...(line.attaches === undefined ? {} : { attaches: line.attaches }),
      }),
    )
    const held = lines.flatMap(({ item, attaches }) =>
      attaches === undefined ? [] : [{ first: item, then: attaches }],
    )
    return { slug, lines, callouts: file.callouts, truth: pairsOf([...(file.stripOrder ?? []), ...held]) }
  }).sort((a, b) => (a.slug < b.slug ? -1 : 1))
}

/** The list in another order of its numbers; parts of a part stay below it. */
export function renumbered(lines: readonly ProposalLine[], random: () => number): ProposalLine[] {
  const blocks: ProposalLine[][] = []
  for (const line of lines) {
    if (line.indenture > 1 && blocks.length > 0) blocks.at(-1)!.push(line)
    else blocks.push([line])
  }
  return blocks
    .map((block) => ({ block, dice: random() }))
    .sort((a, b) => a.dice - b.dice)
    .flatMap(({ block }) => block)
}

export interface StripMark {
  tau: number
  itemTau: number
  /** Pairs that follow from the proposed steps: right, the wrong way round, and such that are independent in truth. */
  right: number
  wrong: number
  independent: number
  /** Share of the known pairs that follow from the proposed steps. */
  recall: number
}

export function stripMark(one: StripCase, lines: readonly ProposalLine[] = one.lines): StripMark {
  const proposal: StripProposal = stripProposal({ lines, callouts: one.callouts })
  const proposed = pairsOf(proposal.edges)
  const turned = (pair: string) => pair.split(' ').reverse().join(' ')
  const right = [...proposed].filter((pair) => one.truth.has(pair)).length
  const wrong = [...proposed].filter((pair) => one.truth.has(turned(pair))).length
  const items = [...new Set(one.lines.map((line) => line.item))]
  return {
    tau: kendallTau(proposal.order, one.truth),
    itemTau: kendallTau(items, one.truth),
    right: right / proposed.size,
    wrong: wrong / proposed.size,
    independent: (proposed.size - right - wrong) / proposed.size,
    recall: right / one.truth.size,
  }
}
