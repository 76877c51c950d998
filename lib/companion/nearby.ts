import type { PartClass } from '../catalogue/part-class.ts'
import { type SplitPinChoice, splitPinForJoint, splitPinText } from '../fastener/split-pin.ts'
import { threadDiameterMm } from '../fastener/thread.ts'
import { itemCompare, itemKey } from '../figure/strip-order.ts'
import { factOf } from './fact.ts'
import type { JobShape } from './places.ts'
import type { FigureLine, PartOnFile } from './suggestion.ts'

/** How far apart two item numbers may be for one to be guessed as belonging to the other: parts lists follow the assembly. */
const NEAR_ITEMS = 5

function numberOfItem(item: string): number {
  return Number.parseInt(item, 10)
}

/** One holds the other, directly or through others. */
export function attached(shape: JobShape, a: FigureLine, b: FigureLine): boolean {
  return shape.holds(a).has(itemKey(b.item)) || shape.holds(b).has(itemKey(a.item))
}

/** What holds a line itself: attached to it, or the nut on the bolt that holds the same part with it. */
export function heldBy(shape: JobShape, line: FigureLine): FigureLine[] {
  const others = (item: string) => shape.holding(item).filter((other) => itemKey(other.item) !== itemKey(line.item))
  const thread = factOf(line, 'thread')
  const together = line.attaches === undefined || thread === undefined ? [] : others(line.attaches)
  return [...others(line.item), ...together.filter((other) => factOf(other, 'thread') === thread)]
}

/** What a line holds, directly or through others. */
export function holdsOf(shape: JobShape, line: FigureLine): FigureLine[] {
  const held = shape.holds(line)
  return held.size === 0 ? [] : shape.input.lines.filter((other) => held.has(itemKey(other.item)))
}

function closest(lines: readonly FigureLine[], to: FigureLine): FigureLine[] {
  const gap = (line: FigureLine) => Math.abs(numberOfItem(line.item) - numberOfItem(to.item))
  const near = lines.filter((line) => gap(line) <= NEAR_ITEMS)
  const least = Math.min(...near.map(gap))
  const best = near.filter((line) => gap(line) === least).sort((a, b) => itemCompare(a.item, b.item))[0]
  // Lines of one item go together: the left-hand and the right-hand one.
  return best ? lines.filter((line) => itemKey(line.item) === itemKey(best.item)) : []
}

/** Lines of a class that belong to `line`, itself left out; see `within` of line-of-class. */
export function linesNear(
  shape: JobShape,
  line: FigureLine,
  partClass: PartClass,
  within: 'attached' | 'coming-off' | 'nearest' | 'together' | 'figure',
): FigureLine[] {
  const others = shape.input.lines.filter(
    (other) => other.partClass === partClass && itemKey(other.item) !== itemKey(line.item),
  )
  if (within === 'figure') return others
  if (within === 'together') {
    const same = (other: FigureLine) =>
      line.attaches !== undefined && itemKey(other.attaches ?? '') === itemKey(line.attaches)
    return others.filter(same)
  }
  const held = others.filter((other) => attached(shape, other, line))
  if (within === 'attached' || held.length) return held
  // What sits on a part that comes off leaves its place too: the lip of a seal in a cover.
  const moved = ({ item, facts: { sitsOn } }: FigureLine) =>
    shape.disturbed.has(itemKey(item)) || (sitsOn !== undefined && shape.disturbed.has(itemKey(sitsOn)))
  const off = others.filter(moved)
  return off.length || within === 'coming-off' ? off : closest(others, line)
}

/** The consumable of the parts list that stands nearest to a line; ties by item, then part. */
export function listedNearest(lines: readonly FigureLine[], to: FigureLine): FigureLine | null {
  const gap = (line: FigureLine) => {
    const apart = Math.abs(numberOfItem(line.item) - numberOfItem(to.item))
    return Number.isNaN(apart) ? Number.POSITIVE_INFINITY : apart
  }
  const byNearness = (a: FigureLine, b: FigureLine) => {
    const [near, far] = [gap(a), gap(b)]
    return near === far ? itemCompare(a.item, b.item) || a.partId - b.partId : near - far
  }
  return [...lines].sort(byNearness)[0] ?? null
}

export interface SplitPinAnswer {
  /** The line whose hole, thread or pin it goes through. */
  host: FigureLine
  /** Split pins the parts list already names for that joint. */
  listed: FigureLine[]
  choice: SplitPinChoice | null
  part: PartOnFile | null
  text: string
}

/**
 * The split pin of a castle nut, bolt or clevis pin. The drilled part is the host where the list gives its hole, so that nut and bolt
 * of one joint ask for one pin. A pin that the list names for the joint is taken; else it is sized by ISO 1234 and the shortest
 * long enough on the shelf is taken, for a long leg can be cut and a short one cannot be bent.
 */
export function splitPinAnswer(shape: JobShape, line: FigureLine): SplitPinAnswer {
  const drilled = shape.input.lines.filter(
    (other) => other.facts.splitPinHoleMm !== undefined && attached(shape, other, line),
  )
  const host =
    line.facts.splitPinHoleMm !== undefined
      ? line
      : (drilled.sort((a, b) => itemCompare(a.item, b.item) || a.partId - b.partId)[0] ?? line)
  const choice = splitPinForJoint({
    holeMm: drillable(host.facts.splitPinHoleMm),
    ...threadOf(shape, host),
    ...clevisOf(host),
  })
  const pins = shape.input.lines.filter((other) => other.partClass === 'split-pin')
  const fits = (pin: FigureLine) => {
    if (attached(shape, pin, line) || attached(shape, pin, host)) return true
    const size = pin.partFacts.splitPinMm
    return pin.attaches === undefined && (size === undefined || choice === null || size === choice.nominalMm)
  }
  const text = choice ? splitPinText(choice) : 'split pin to suit: measure the hole, ISO 1234'
  return { host, listed: pins.filter(fits), choice, part: choice && onShelf(shape.input.shelf, choice), text }
}

function drillable(holeMm: number | undefined): number | undefined {
  return holeMm !== undefined && holeMm >= 0.6 ? holeMm : undefined
}

/** Thread of the host itself, else of a castle nut that goes with it: the same whichever of the two was asked. */
function threadOf(shape: JobShape, host: FigureLine): { thread?: string } {
  const nuts = shape.input.lines.filter((other) => other.partClass === 'castle-nut' && attached(shape, other, host))
  for (const candidate of [host, ...nuts.sort((a, b) => itemCompare(a.item, b.item) || a.partId - b.partId)]) {
    const thread = factOf(candidate, 'thread')
    if (typeof thread === 'string' && threadDiameterMm(thread) !== null) return { thread }
  }
  return {}
}

function clevisOf(host: FigureLine): { clevisPinMm?: number } {
  const mm = host.facts.clevisPinMm ?? (host.partClass === 'clevis-pin' ? host.partFacts.outsideMm : undefined)
  return mm === undefined ? {} : { clevisPinMm: mm }
}

function onShelf(shelf: readonly PartOnFile[], choice: SplitPinChoice): PartOnFile | null {
  const lengthOf = (part: PartOnFile) => part.partFacts.lengthMm ?? Number.POSITIVE_INFINITY
  return (
    shelf
      .filter((part) => part.partClass === 'split-pin' && part.partFacts.splitPinMm === choice.nominalMm)
      .filter((part) => choice.lengthMm === null || (part.partFacts.lengthMm ?? 0) >= choice.lengthMm)
      .sort((a, b) => lengthOf(a) - lengthOf(b) || a.partId - b.partId || (a.partNumber < b.partNumber ? -1 : 1))[0] ??
    null
  )
}
