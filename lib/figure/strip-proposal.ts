import type { PartClass } from '../catalogue/part-class.ts'
import type { Point } from '../geometry/view.ts'
import type { Callout } from './callout.ts'
import { axisDistance, depthsAgree, explosionAxis, explosionSweep, type Known } from './strip-axis.ts'
import { layerOf, letsGo } from './strip-layer.ts'
import { itemKey, type StripEdge, type StripLine } from './strip-order.ts'

/** What the proposal reads of a parts list line. */
export interface ProposalLine extends StripLine {
  description: string
  partClass: PartClass
  indenture: number
}

export interface ProposedEdge extends StripEdge {
  /** 0 to 1: how sure it is. */
  confidence: number
  /** In words for the screen: "holds 12". */
  why: string
}

export interface StripProposal {
  /** Every item of the list once, first off first. */
  order: string[]
  /** first comes off before then; never in a circle, and each agrees with `order`. */
  edges: ProposedEdge[]
  /** 0 to 1: how well drawing, numbers and kinds of part agree. */
  confidence: number
  /** From where to where it comes apart, in words. */
  says: string
}

interface Part extends Known {
  item: string
  line: ProposalLine
  tip: Point | null
  /** Place of the part that it stands under in the list and is worked on with; null for what lets a part go. */
  partOf: number | null
}

/** How much the kind of a part moves it against where it lies on the axis. */
const KIND_SHARE = 0.8
/** How far an attaching part goes along with what it holds. */
const ATTACHED_SHARE = 0.6
/** Item numbers run along the drawing in most books, in or out; below this agreement they are not heard. */
const NUMBERS_HEARD = 0.2
/** Drawings whose agreement is poor are still heard this much. */
const DRAWING_HEARD = 0.2
const STEP = 0.001
/** A step beside the axis counts double: the nearest part is the next on the same axis. */
const ASIDE = 2
/** A second part may lie this many times as far and still be what a part stands in the way of. */
const SECOND_NEAR = 2

/**
 * A first order of strip-down from an exploded drawing, for a person to put right. The tips of the leader lines are laid on the
 * axis of the explosion; kinds of part say which end (or both, towards a housing or shaft) comes off first; the run of the item
 * numbers is heard as far as it agrees; an attaching part comes off before what it holds, a part of a part after it. Steps
 * join a part to the next ones on its axis, so that parts that come off independently stay apart.
 * Source: common practice, no source; measured by `npm run eval:strip`.
 */
export function stripProposal(input: {
  lines: readonly ProposalLine[]
  callouts: readonly Pick<Callout, 'item' | 'tips'>[]
}): StripProposal {
  const parts = partsOf(input.lines, input.callouts)
  if (parts.length === 0) return { order: [], edges: [], confidence: 0, says: 'The list is empty.' }
  const tips = parts.map((part) => part.tip)
  const axis = explosionAxis(tips.filter((tip) => tip !== null))
  const sweep = explosionSweep(tips, parts, axis)
  const ranks = parts.map((_, at) => (parts.length === 1 ? 0 : at / (parts.length - 1)))
  const numbers = depthsAgree(ranks, parts)
  const depths = depthsOf(parts, sweep, numbers < 0 ? ranks.map((rank) => 1 - rank) : ranks, Math.abs(numbers))
  const before = surely(parts)
  const order = placed(parts, depths, before)
  const confidence = Math.max(0, Math.min(1, Math.max(sweep.agreement, Math.abs(numbers))))
  return {
    order: order.map((at) => parts[at]!.item),
    edges: edgesOf(parts, order, depths, axis, confidence),
    confidence,
    says: sweepSays(parts, order, sweep.core, confidence),
  }
}

function partsOf(lines: readonly ProposalLine[], callouts: readonly Pick<Callout, 'item' | 'tips'>[]): Part[] {
  const first = new Map<string, ProposalLine>()
  for (const line of lines) if (!first.has(itemKey(line.item))) first.set(itemKey(line.item), line)
  const listed = [...first.values()]
  const placeOf = new Map(listed.map((line, at) => [itemKey(line.item), at]))
  const tipsOf = new Map<string, Point[]>()
  for (const { item, tips } of callouts) tipsOf.set(itemKey(item), [...(tipsOf.get(itemKey(item)) ?? []), ...tips])
  const above: number[] = []
  return listed.map((line, at): Part => {
    while (above.length > 0 && listed[above.at(-1)!]!.indenture >= line.indenture) above.pop()
    const under = line.indenture > 1 ? (above.at(-1) ?? null) : null
    above.push(at)
    const holds = line.attaches === undefined ? null : (placeOf.get(itemKey(line.attaches)) ?? null)
    const tips = tipsOf.get(itemKey(line.item)) ?? []
    return {
      item: line.item,
      line,
      layer: layerOf(line),
      holds: holds === at ? null : holds,
      tip: tips.length === 0 ? null : middle(tips),
      // A part of an attaching part, or one that lets another go, is no part to be worked on afterwards.
      partOf: holds === null && !letsGo(line) ? under : null,
    }
  })
}

function middle(points: readonly Point[]): Point {
  return {
    x: points.reduce((sum, point) => sum + point.x, 0) / points.length,
    y: points.reduce((sum, point) => sum + point.y, 0) / points.length,
  }
}

/** One depth a part from drawing, numbers and kind; small comes off first. */
function depthsOf(
  parts: readonly Part[],
  sweep: { depths: readonly (number | null)[]; agreement: number },
  ranks: readonly number[],
  numbersAgree: number,
): number[] {
  const drawing = Math.max(DRAWING_HEARD, sweep.agreement)
  const numbers = Math.max(0, numbersAgree - NUMBERS_HEARD)
  const depths = parts.map(({ layer }, at) => {
    const seen = sweep.depths[at]
    // A part that no leader shows has its number alone.
    const lies = seen == null ? ranks[at]! : (drawing * seen + numbers * ranks[at]!) / (drawing + numbers)
    return lies + KIND_SHARE * layer.weight * (layer.depth - 0.5)
  })
  // A split pin goes along with its nut, the nut with the hub: three rounds carry it.
  for (let round = 0; round < 3; round++) {
    for (const [at, { holds }] of parts.entries()) {
      if (holds === null) continue
      const along = (1 - ATTACHED_SHARE) * depths[at]! + ATTACHED_SHARE * depths[holds]!
      depths[at] = Math.min(along, depths[holds]! - STEP)
    }
  }
  return depths
}

/** For each part what surely comes off before it: what holds it, and the part it belongs to. */
function surely(parts: readonly Part[]): number[][] {
  const before: number[][] = parts.map(() => [])
  for (const [at, { holds, partOf }] of parts.entries()) {
    if (holds !== null) before[holds]!.push(at)
    if (partOf !== null) before[at]!.push(partOf)
  }
  return before
}

/** By depth, but nothing before what surely comes off first. A list that contradicts itself is broken at the outermost part. */
function placed(parts: readonly Part[], depths: readonly number[], before: readonly number[][]): number[] {
  const left = new Set(parts.keys())
  const byDepth = [...parts.keys()].sort((a, b) => depths[a]! - depths[b]! || a - b)
  const order: number[] = []
  while (left.size > 0) {
    const next =
      byDepth.find((at) => left.has(at) && !before[at]!.some((one) => left.has(one))) ??
      byDepth.find((at) => left.has(at))!
    order.push(next)
    left.delete(next)
  }
  return order
}

function edgesOf(
  parts: readonly Part[],
  order: readonly number[],
  depths: readonly number[],
  axis: Point,
  confidence: number,
): ProposedEdge[] {
  const place = new Map(order.map((at, index) => [at, index]))
  const found = new Map<string, ProposedEdge>()
  const add = (first: number, then: number, sure: number, why: string) => {
    const key = `${first} ${then}`
    if (place.get(first)! < place.get(then)! && !found.has(key))
      found.set(key, { first: parts[first]!.item, then: parts[then]!.item, confidence: sure, why })
  }
  for (const at of order) {
    const part = parts[at]!
    if (part.holds !== null) add(at, part.holds, 0.95, `holds ${parts[part.holds]!.item}`)
    if (part.partOf !== null) add(part.partOf, at, 0.7, `${part.item} is a part of it`)
  }
  for (const [index, at] of order.entries()) {
    const { tip, holds, layer } = parts[at]!
    if (tip === null || holds !== null) continue
    const later = order.slice(index + 1).filter((one) => parts[one]!.tip !== null)
    for (const next of nearestTwo(later, (one) => axisDistance(axis, ASIDE, tip, parts[one]!.tip!))) {
      // What surely comes off first may lie deeper: the step is then as good as a guess.
      const apart = depths[next]! - depths[at]!
      const sure = 0.5 + 0.4 * confidence * Math.max(0, Math.min(1, apart / 0.25))
      const kinds = (parts[next]!.layer.depth - layer.depth) * layer.weight * parts[next]!.layer.weight
      add(at, next, sure, kinds > 0.1 ? 'by its kind it sits outside' : 'lies further out on the drawing')
    }
  }
  // A part that lies inside and seems free is not: the nearest that comes off before it is in its way.
  const then = new Set([...found.values()].map((edge) => edge.then))
  for (const [index, at] of order.entries()) {
    const { item, tip, line } = parts[at]!
    if (tip === null || then.has(item) || letsGo(line)) continue
    const sooner = order.slice(0, index).filter((one) => parts[one]!.tip !== null)
    const nearest = nearestTwo(sooner, (one) => axisDistance(axis, ASIDE, tip, parts[one]!.tip!))[0]
    if (nearest !== undefined) add(nearest, at, 0.5, 'lies nearest further out')
  }
  return [...found.values()]
}

/** The nearest, and the second where it is about as near. */
function nearestTwo(places: readonly number[], distance: (place: number) => number): number[] {
  let [first, second] = [-1, -1]
  let [near, next] = [Infinity, Infinity]
  for (const place of places) {
    const far = distance(place)
    if (far < near) [second, next, first, near] = [first, near, place, far]
    else if (far < next) [second, next] = [place, far]
  }
  return [...(first >= 0 ? [first] : []), ...(second >= 0 && next < SECOND_NEAR * near ? [second] : [])]
}

function sweepSays(parts: readonly Part[], order: readonly number[], core: number | null, confidence: number): string {
  const name = (at: number) => `${parts[at]!.item} ${parts[at]!.line.description}`
  const way =
    core === null
      ? `From ${name(order[0]!)} towards ${name(order.at(-1)!)}.`
      : `From both ends towards ${name(core)}, which stays last.`
  return confidence < 0.4 ? `${way} The drawing says little of the order: look at each step.` : way
}
