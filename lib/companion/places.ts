import type { PartClass } from '../catalogue/part-class.ts'
import { partNumberKey } from '../catalogue/part-number.ts'
import { endsAmong, endsOfLine, SHAFT_ENDS, type ShaftEnd } from '../figure/shaft-end.ts'
import { itemCompare, itemKey } from '../figure/strip-order.ts'
import { placeCode, placeEnd, placeKey, placesAcross } from './place.ts'
import type { Strength } from './rule-terms.ts'
import type { CompanionInput, FigureLine, PartOnFile } from './suggestion.ts'

/** A line that is renewed or comes off, where, and how many of it sit at each place. */
export interface Trigger {
  line: FigureLine
  target: boolean
  /** main: where the targets are; other: the other side of the axle or rotor, or the other end of a shaft, when that is done too. */
  side: 'main' | 'other' | 'other-end'
  /** Places of the line itself in order (lib/companion/place.ts); empty when the assembly sits once. */
  places: string[]
  /** The same with the ends in hand, named by what sits once as well: what a rule adds to it may sit at both. */
  at: string[]
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

/** What leads to the other side or end: by target item, the places there and how strongly. */
export type OtherSide = ReadonlyMap<string, { places: readonly string[]; strength: Strength }[]>

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
  /** Ends that a target is renewed at: those named, else all; one without a name where the job speaks of no end. */
  endsAt: (targetKey: string) => readonly string[]
  /** Sides and stations that a target names. */
  codesAt: (targetKey: string) => readonly string[]
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
  const isEnd = (code: string) => !sides.has(code) && (SHAFT_ENDS as readonly string[]).includes(code)
  const endsNamed = once((key: string): ShaftEnd[] => {
    const named = endsAmong([...(targets.get(key)?.positions ?? [])].filter(isEnd))
    // What sits at one end only needs not be asked for it.
    const own = (linesOf.get(key) ?? []).map((line) => endsOfLine(line.facts))
    return named.length > 0 ? named : own.every((ends) => ends.length === 1) ? (own[0] ?? []) : []
  })
  const codesAt = once((key: string) => [...(targets.get(key)?.positions ?? [])].filter((code) => !isEnd(code)))
  const areEndsNamed = [...targets.keys()].some((key) => endsNamed(key).length > 0)
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
    endsAt: (key) => (!areEndsNamed ? [''] : endsNamed(key).length > 0 ? endsNamed(key) : SHAFT_ENDS),
    codesAt,
    stationsOf: once((key) => {
      const chosen = codesAt(key)
      if (chosen.length > 0 && chosen.every((code) => sides.has(code))) return null
      return linesOf.get(key)?.find((line) => line.facts.stations)?.facts.stations ?? null
    }),
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
  return line.unit === 'each' && line.quantity % stations === 0 && endsOfLine(line.facts).length === 0
}

/** Quantity at one of the places: of a rotor's line its share of each station, of what sits at both ends of a shaft its half. */
export function quantityPerPlace(line: FigureLine, stations: number | null, places: readonly string[]): number {
  if (places.some((place) => placeEnd(place) !== '')) return Math.max(1, Math.ceil(line.quantity / 2))
  return stations === null ? line.quantity : Math.max(1, Math.ceil(line.quantity / stations))
}

/**
 * Places of a line among those in hand: only those of its side and of its ends; null when none is left. Beside them those with the
 * end in hand, which what sits once, or at one end only, does not name for itself.
 */
export function placesOfLine(
  shape: JobShape,
  line: FigureLine,
  places: Iterable<string>,
): { places: string[]; at: string[] } | null {
  const all = [...new Set(places)].sort(itemCompare)
  const sided = line.side !== undefined && shape.input.positions.some(({ code }) => code === 'LH' || code === 'RH')
  const ends = endsOfLine(line.facts)
  const isHere = (place: string) => {
    const end = placeEnd(place)
    return (!sided || placeCode(place) === line.side) && (end === '' || ends.length !== 1 || ends[0] === end)
  }
  const at = all.filter(isHere)
  if (all.length > 0 && at.length === 0) return null
  const own = ends.length === 2 ? at : [...new Set(at.map(placeCode))].filter((code) => code !== '')
  return { places: own, at }
}

function placesOf(shape: JobShape, line: FigureLine, placesAt: (targetKey: string) => Iterable<string>) {
  const places = new Set<string>()
  let stations: number | null = null
  for (const key of shape.reach(line.item)) {
    const around = shape.stationsOf(key)
    const each = around !== null && perStation(shape, line, key, around)
    if (each) stations = around
    for (const place of placesAt(key)) {
      const code = placeCode(place)
      // What sits once for the whole rotor has no station, but it may have a side.
      const isMeant = code === '' || around === null || shape.isSide(code) !== each
      places.add(isMeant ? place : placeKey('', placeEnd(place)))
    }
  }
  // A place that names its side or station says more than one that does not.
  const coded = [...places].filter((place) => placeCode(place) !== '')
  const named = coded.length > 0 ? coded : [...places].filter((place) => place !== '')
  const left = placesOfLine(shape, line, named)
  return left === null ? null : { ...left, stations }
}

/** Everything that is renewed or comes off where the targets are. */
export function mainTriggers(shape: JobShape): Trigger[] {
  const placesAt = once((target: string) => placesAcross(shape.codesAt(target), shape.endsAt(target)))
  return shape.input.lines.flatMap((line): Trigger[] => {
    const key = itemKey(line.item)
    if (!shape.disturbed.has(key)) return []
    const found = placesOf(shape, line, placesAt)
    if (found === null) return []
    return [
      {
        ...found,
        line,
        target: shape.targets.has(key),
        side: 'main',
        perPlace: quantityPerPlace(line, found.stations, found.places),
        chosen: shape.targets.get(key)?.quantity ?? 0,
        comesOffFor: shape.comesOffFor(line.item),
        openedBy: shape.openedBy(line.item),
        cap: 'must',
      },
    ]
  })
}

/** The same lines on the other side or at the other end, as far as they do not come off there already. */
export function otherTriggers(
  shape: JobShape,
  main: readonly Trigger[],
  otherSide: OtherSide,
  side: 'other' | 'other-end',
): Trigger[] {
  const agreed = (shape.input.alsoStripped ?? []).filter((code) =>
    side === 'other-end'
      ? !shape.isSide(code) && endsAmong([code]).length > 0
      : shape.isSide(code) || /^\d+$/.test(code),
  )
  const agreedAt = (target: string) => {
    if (side === 'other-end') return placesAcross(shape.codesAt(target), agreed)
    const codes = agreed.filter((code) => shape.isSide(code) === (shape.stationsOf(target) === null))
    return codes.length > 0 ? placesAcross(codes, shape.endsAt(target)) : []
  }
  const already = new Map(main.map((trigger) => [trigger.line, new Set(trigger.places)]))
  return shape.input.lines.flatMap((line): Trigger[] => {
    const key = itemKey(line.item)
    if (!shape.disturbed.has(key)) return []
    const ways = [...shape.reach(line.item)].flatMap((target) => otherSide.get(target) ?? [])
    const found = placesOf(shape, line, (target) => [
      ...agreedAt(target),
      ...(otherSide.get(target) ?? []).flatMap((way) => way.places),
    ])
    if (found === null) return []
    const places = found.places.filter((place) => !already.get(line)?.has(place))
    // What sits at the other end alone names no place of its own, and comes off for that end only.
    const isNew = found.at.length > 0 && found.places.length === 0 && !already.has(line)
    if (places.length === 0 && !isNew) return []
    const named = side === 'other' ? placeCode : placeEnd
    const isAgreed = (isNew ? found.at : places).some((place) => agreed.includes(named(place)))
    const strengths = ways.map((way) => way.strength)
    const cap = isAgreed || strengths.includes('must') ? 'must' : strengths.includes('should') ? 'should' : 'consider'
    const { stations } = found
    return [
      {
        line,
        target: shape.targets.has(key),
        side,
        places,
        at: found.at.filter((place) => isNew || places.includes(place) || places.includes(placeCode(place))),
        perPlace: quantityPerPlace(line, stations, places),
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
