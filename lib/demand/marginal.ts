/** One part that pieces may be bought of: what the piece that raises the level from `level` brings, and what it costs. */
export interface MarginalPart {
  gain(level: number): number
  cost(level: number): number
}

interface Step {
  part: number
  pieces: number
  gain: number
  ratio: number
}

/** A set of a dozen brings nothing piece by piece: so far ahead a better ratio is looked for. */
const AHEAD_MAX = 40
const AHEAD_WITHOUT_GAIN = 13
/** While nothing is gained at all, as short of a whole set of knives, so far. */
const AHEAD_FOR_ANY = 2000

/** The next one or more pieces of a part with the most gain for their cost. */
function nextStep(of: MarginalPart, part: number, level: number): Step {
  let gain = 0
  let cost = 0
  const best: Step = { part, pieces: 1, gain: 0, ratio: -1 }
  const isWorthALook = (pieces: number) =>
    best.ratio > 0 ? pieces <= AHEAD_MAX && pieces - best.pieces < AHEAD_WITHOUT_GAIN : pieces <= AHEAD_FOR_ANY
  for (let pieces = 1; isWorthALook(pieces); pieces++) {
    gain += of.gain(level + pieces - 1)
    cost += of.cost(level + pieces - 1)
    const ratio = cost > 0 ? gain / cost : gain > 0 ? Number.POSITIVE_INFINITY : 0
    if (ratio > best.ratio * (1 + 1e-12)) Object.assign(best, { pieces, gain, ratio })
  }
  return best
}

/** The best step on top; equal ones in the order of the parts, so that the answer never hangs on chance. */
const isBefore = (a: Step, b: Step) => a.ratio > b.ratio || (a.ratio === b.ratio && a.part < b.part)

function sink(heap: Step[], from: number): void {
  let at = from
  for (;;) {
    let top = at
    for (const child of [2 * at + 1, 2 * at + 2])
      if (child < heap.length && isBefore(heap[child]!, heap[top]!)) top = child
    if (top === at) return
    const kept = heap[at]!
    heap[at] = heap[top]!
    heap[top] = kept
    at = top
  }
}

export interface Purchase {
  part: number
  pieces: number
  /** Sum of all gains so far. */
  total: number
}

/**
 * Marginal analysis: buys again and again the piece with the most gain for its cost (C. C. Sherbrooke, Optimal Inventory Modeling
 * of Systems, 2nd edition, 2004, chapter 2). Best for every sum of cost that it passes when gains fall off; a part whose next
 * pieces bring more together than the first alone is stepped over at once. Goes on until the caller stops, or nothing brings
 * anything more.
 */
export function* marginalPurchases(parts: readonly MarginalPart[]): Generator<Purchase> {
  const levels = parts.map(() => 0)
  const heap = parts.map((one, at) => nextStep(one, at, 0))
  for (let at = heap.length >> 1; at >= 0; at--) sink(heap, at)
  let total = 0
  while (heap.length > 0) {
    const { part, pieces, gain, ratio } = heap[0]!
    if (!(ratio > 0)) return
    levels[part]! += pieces
    total += gain
    yield { part, pieces, total }
    heap[0] = nextStep(parts[part]!, part, levels[part]!)
    sink(heap, 0)
  }
}
