import type { PartClass } from '../catalogue/part-class.ts'
import { partNumberKey } from '../catalogue/part-number.ts'
import { itemCompare, itemKey } from '../figure/strip-order.ts'
import type { Strength } from './rule-terms.ts'
import type { CompanionInput, FigureLine, PartOnFile } from './suggestion.ts'

/** A line that is renewed or comes off, where, and how many of it sit at each place. */
export interface Trigger {
  line: FigureLine
  target: boolean
  /** main: where the targets are; other: the other side of the axle or rotor, when that is done too. */
  side: 'main' | 'other'
  /** Position codes or station numbers in order; empty when the assembly sits once. */
  places: string[]
  /** Minor units at each place. */
  perPlace: number
  stations: number | null
  /** Pieces chosen, over all places; 0 for what only comes off. */
  chosen: number
  comesOffFor: readonly string[]
  /** Of a seal that is in nobody's way: what comes off it. */
  openedBy: readonly string[]
  /** The other side is never asked for more strongly than what leads there. */
  cap: Strength
}

/** What leads to the other side: by target item, the codes there and how strongly. */
export type OtherSide = ReadonlyMap<string, { codes: readonly string[]; strength: Strength }[]>

export interface JobShape {
  input: CompanionInput
  targets: Map<string, { positions: Set<string>; quantity: number }>
  disturbed: Set<string>
  /** Targets that an item is in the way of, itself included. */
  reach: (item: string) => Set<string>
  comesOffFor: (item: string) => readonly string[]
  openedBy: (item: string) => readonly string[]
  /** Items a line holds, directly or through others. */
  holds: (line: FigureLine) => Set<string>
  /** Lines that say of themselves that they hold this item. */
  holding: (item: string) => readonly FigureLine[]
  /** Stations round its rotor that a target was chosen by; null where it was chosen by sides, or has none. */
  stationsOf: (targetKey: string) => number | null
  /** Whether it is a side of the assembly, and no station. */
  isSide: (code: string) => boolean
  pairOf: (code: string) => string | null
  /** The part on file that serves as a class, of a grade where one is asked for: the first by its number. */
  onFile: (partClass: PartClass, grade: string | undefined) => PartOnFile | null
}

/** Answers each question once: lines and rules ask the same of one job hundreds of times. */
export function once<K, V>(answer: (key: K) => V): (key: K) => V {
  const known = new Map<K, V>()
  return (key) => {
    if (!known.has(key)) known.set(key, answer(key))
    return known.get(key)!
  }
}

function grouped<K, V>(all: readonly V[], keyOf: (one: V) => K): Map<K, V[]> {
  const groups = new Map<K, V[]>()
  for (const one of all) {
    const group = groups.get(keyOf(one))
    if (group) group.push(one)
    else groups.set(keyOf(one), [one])
  }
  return groups
}

export function gradeFits(part: Pick<PartOnFile, 'partFacts'>, grade: string | undefined): boolean {
  return grade === undefined || (part.partFacts.grade ?? '').toLowerCase().includes(grade.toLowerCase())
}

/** The shelf by class, each class in the order of its numbers; put in order when a rule first asks for the class. */
function shelfByClass(shelf: readonly PartOnFile[]): (partClass: PartClass) => PartOnFile[] {
  const kept = grouped(shelf, (part) => part.partClass)
  return once((partClass) =>
    (kept.get(partClass) ?? [])
      .map((part) => ({ part, key: partNumberKey(part.partNumber) }))
      .sort((a, b) => (a.key < b.key ? -1 : a.key > b.key ? 1 : a.part.partId - b.part.partId))
      .map(({ part }) => part),
  )
}

/** Reads a job once: who is in whose way, what holds what, which position wears with which. */
export function jobShape(input: CompanionInput): JobShape {
  const targets: JobShape['targets'] = new Map()
  for (const { item, positions, quantity } of input.targets) {
    const target = targets.get(itemKey(item)) ?? { positions: new Set<string>(), quantity: 0 }
    for (const code of positions) target.positions.add(code)
    target.quantity += quantity
    targets.set(itemKey(item), target)
  }
  const linesOf = grouped(input.lines, (line) => itemKey(line.item))
  const inTheWay = new Map(
    input.strip.map((step): [string, readonly string[] | null] =>
      typeof step === 'string' ? [itemKey(step), null] : [itemKey(step.item), step.inTheWayOf],
    ),
  )
  const opened = new Map(
    input.strip.flatMap((step) =>
      typeof step === 'string' ? [] : [[itemKey(step.item), step.openedBy ?? []] as const],
    ),
  )
  const sides = new Set(input.positions.map((position) => position.code))
  const reach = once((item: string): Set<string> => {
    const found = new Set<string>()
    const seen = new Set<string>()
    const open = [itemKey(item)]
    for (let key = open.pop(); key !== undefined; key = open.pop()) {
      if (seen.has(key)) continue
      seen.add(key)
      if (targets.has(key)) found.add(key)
      if (!inTheWay.has(key)) continue
      open.push(...(inTheWay.get(key)?.map(itemKey) ?? targets.keys()), ...(opened.get(key) ?? []).map(itemKey))
    }
    return found
  })
  const holds = once((line: FigureLine): Set<string> => {
    const found = new Set<string>()
    const open = line.attaches === undefined ? [] : [itemKey(line.attaches)]
    for (let key = open.pop(); key !== undefined; key = open.pop()) {
      if (found.has(key)) continue
      found.add(key)
      for (const { attaches } of linesOf.get(key) ?? []) if (attaches !== undefined) open.push(itemKey(attaches))
    }
    return found
  })
  const holding = grouped(
    input.lines.filter((line) => line.attaches !== undefined),
    (line) => itemKey(line.attaches!),
  )
  const ofClass = shelfByClass(input.shelf)
  return {
    input,
    targets,
    disturbed: new Set([...inTheWay.keys(), ...targets.keys()]),
    reach,
    comesOffFor: (item) => inTheWay.get(itemKey(item)) ?? [],
    openedBy: (item) => opened.get(itemKey(item)) ?? [],
    holds,
    holding: (item) => holding.get(itemKey(item)) ?? [],
    stationsOf: (key) => {
      const chosen = [...(targets.get(key)?.positions ?? [])]
      if (chosen.length > 0 && chosen.every((code) => sides.has(code))) return null
      return linesOf.get(key)?.find((line) => line.facts.stations)?.facts.stations ?? null
    },
    isSide: (code) => sides.has(code),
    pairOf: (code) => {
      const own = input.positions.find((position) => position.code === code)?.pairedWith
      return own ?? input.positions.find((position) => position.pairedWith === code)?.code ?? null
    },
    onFile: (partClass, grade) => ofClass(partClass).find((part) => gradeFits(part, grade)) ?? null,
  }
}

/** A line belongs to each station of a rotor when it says so, holds what sits there, or comes in a multiple of the stations. */
function perStation(shape: JobShape, line: FigureLine, targetKey: string, stations: number): boolean {
  if (line.facts.stations === stations || itemKey(line.item) === targetKey || shape.holds(line).has(targetKey))
    return true
  return line.unit === 'each' && line.quantity % stations === 0
}

/** Quantity at one place: of a rotor's line, its share of each station. */
export function quantityPerPlace(line: FigureLine, stations: number | null): number {
  return stations === null ? line.quantity : Math.max(1, Math.ceil(line.quantity / stations))
}

/** Places of a line made for one side are only those of its side; null when none is left. */
export function placesOfSide(shape: JobShape, line: FigureLine, places: Iterable<string>): string[] | null {
  const all = [...new Set(places)].sort(itemCompare)
  const sided = line.side !== undefined && shape.input.positions.some(({ code }) => code === 'LH' || code === 'RH')
  const left = sided ? all.filter((code) => code === line.side) : all
  return all.length > 0 && left.length === 0 ? null : left
}

function placesOf(shape: JobShape, line: FigureLine, codesOf: (targetKey: string) => Iterable<string>) {
  const places = new Set<string>()
  let stations: number | null = null
  for (const key of shape.reach(line.item)) {
    const around = shape.stationsOf(key)
    const each = around !== null && perStation(shape, line, key, around)
    if (each) stations = around
    // What sits once for the whole rotor has no station, but it may have a side.
    for (const code of codesOf(key)) if (around === null || shape.isSide(code) !== each) places.add(code)
  }
  const left = placesOfSide(shape, line, places)
  return left === null ? null : { places: left, stations }
}

/** Everything that is renewed or comes off where the targets are. */
export function mainTriggers(shape: JobShape): Trigger[] {
  return shape.input.lines.flatMap((line): Trigger[] => {
    const key = itemKey(line.item)
    if (!shape.disturbed.has(key)) return []
    const found = placesOf(shape, line, (target) => shape.targets.get(target)!.positions)
    if (found === null) return []
    return [
      {
        ...found,
        line,
        target: shape.targets.has(key),
        side: 'main',
        perPlace: quantityPerPlace(line, found.stations),
        chosen: shape.targets.get(key)?.quantity ?? 0,
        comesOffFor: shape.comesOffFor(line.item),
        openedBy: shape.openedBy(line.item),
        cap: 'must',
      },
    ]
  })
}

/** The same lines on the other side, as far as they do not come off there already. */
export function otherTriggers(shape: JobShape, main: readonly Trigger[], otherSide: OtherSide): Trigger[] {
  const known = new Set(shape.input.positions.map((position) => position.code))
  const also = (shape.input.alsoStripped ?? []).filter((code) => known.has(code) || /^\d+$/.test(code))
  const alsoAt = (target: string) =>
    also.filter((code) => (shape.stationsOf(target) === null ? known.has(code) : !known.has(code)))
  const already = new Map(main.map((trigger) => [trigger.line, new Set(trigger.places)]))
  return shape.input.lines.flatMap((line): Trigger[] => {
    const key = itemKey(line.item)
    if (!shape.disturbed.has(key)) return []
    const ways = [...shape.reach(line.item)].flatMap((target) => otherSide.get(target) ?? [])
    const found = placesOf(shape, line, (target) => [
      ...alsoAt(target),
      ...(otherSide.get(target) ?? []).flatMap((way) => way.codes),
    ])
    const places = found?.places.filter((code) => !already.get(line)?.has(code)) ?? []
    if (found === null || places.length === 0) return []
    const agreed = places.some((code) => also.includes(code))
    const strengths = ways.map((way) => way.strength)
    const cap = agreed || strengths.includes('must') ? 'must' : strengths.includes('should') ? 'should' : 'consider'
    const { stations } = found
    const perPlace = quantityPerPlace(line, stations)
    const target = shape.targets.has(key)
    return [
      {
        line,
        target,
        side: 'other',
        places,
        perPlace,
        stations,
        chosen: 0,
        comesOffFor: shape.comesOffFor(line.item),
        openedBy: shape.openedBy(line.item),
        cap,
      },
    ]
  })
}

/**
 * Stations opposite to k of n: k + n/2. With an odd number none is opposite, so the whole rotor is renewed: all others.
 * Text that is no station of this rotor gives none.
 */
export function oppositeStations(codes: readonly string[], stations: number): string[] {
  const chosen = codes.map(Number).filter((k) => Number.isInteger(k) && k >= 1 && k <= stations)
  if (chosen.length === 0) return []
  const wanted =
    stations % 2 === 0
      ? chosen.map((k) => ((k - 1 + stations / 2) % stations) + 1)
      : Array.from({ length: stations }, (_, i) => i + 1)
  return [...new Set(wanted)]
    .filter((k) => !chosen.includes(k))
    .map(String)
    .sort(itemCompare)
}
