import { type SupersessionLink, supersessionResolve } from '../catalogue/supersession.ts'
import { placeCode, placeCodes, placeEnd, placeKey, placesAcross } from '../companion/place.ts'
import { endsAmong, isShaftEnd } from '../figure/shaft-end.ts'

/** A part that an entry of the service book says was fitted at a callout. */
export interface Fitting {
  entryId: number
  machineId: number
  fleetNumber: string
  writtenAt: Date
  hourTenths: number | null
  jobNumber: number | null
  /** As the entry has it, frozen. */
  partNumber: string
  description: string
  /** The part behind that number. */
  partId: number
  /** It came in a kit: `partNumber` is the kit's. */
  inKit: boolean
  item: string
  /** Where on the machine; empty when the figure has no positions, or none was said. */
  positions: string[]
  /** The line and part of the list that the job aimed at; the list may have changed since. */
  lineId: number | null
  listedPartId: number | null
  /** What was put right in that entry since. */
  corrections: string[]
}

/** The newest fitting for some places of a line. */
export interface LastFitted {
  positions: string[]
  fitting: Fitting
  /** What replaces it now; null where the number still stands. */
  nowNumber: string | null
}

interface ListedLine {
  lineId: number
  item: string
  partId: number
}

/** What replaces what, and the numbers of the parts that are named in it. */
export interface Replacements {
  links: readonly SupersessionLink[]
  numberOf: ReadonlyMap<number, string>
}

/**
 * The line of today's list that a fitting belongs to. Line and part come before the item: a newer edition may have numbered
 * the drawing anew. Under the item alone only where the drawing was never renewed, or where the one part follows the other.
 */
function lineOf<L extends ListedLine>(
  fitting: Fitting,
  lines: readonly L[],
  edition: number,
  links: readonly SupersessionLink[],
): L | undefined {
  const same = lines.find((line) => line.lineId === fitting.lineId)
  if (same) return same
  const ofPart = lines.filter((line) => line.partId === fitting.listedPartId)
  const atItem = ofPart.find((line) => line.item === fitting.item)
  if (atItem || ofPart.length === 1) return atItem ?? ofPart[0]
  const end = (partId: number) => supersessionResolve(partId, links).partId
  return lines.find(
    (line) =>
      line.item === fitting.item &&
      (edition === 1 ||
        [fitting.partId, fitting.listedPartId].some((id) => id !== null && end(id) === end(line.partId))),
  )
}

/** Stations by number: 9 before 13; the drive end before the other one. */
const placeOrder = (a: string, b: string) =>
  Number(isShaftEnd(a)) - Number(isShaftEnd(b)) || a.localeCompare(b, 'en', { numeric: true })

/** Where something was fitted, each end of each side by itself: the left drive end says nothing of the right one. */
function placesOf(positions: readonly string[]): string[] {
  const ends = endsAmong(positions)
  return positions.length === 0
    ? []
    : placesAcross(
        positions.filter((code) => !isShaftEnd(code)),
        ends.length > 0 ? ends : [''],
      )
}

/**
 * What was last fitted at each line, by line id, newest first: a side, station or end that was renewed since is said by the newer
 * entry only. `fittings` come in any order.
 * Example: both sides in May and the right one in July are July for RH and May for LH.
 */
export function lastFittedOf(
  fittings: readonly Fitting[],
  lines: readonly ListedLine[],
  edition: number,
  { links, numberOf }: Replacements,
): Map<number, LastFitted[]> {
  const newest = [...fittings].sort((a, b) => b.writtenAt.getTime() - a.writtenAt.getTime() || b.entryId - a.entryId)
  const last = new Map<number, LastFitted[]>()
  const saidOf = new Map<number, Set<string>>()
  for (const fitting of newest) {
    const line = lineOf(fitting, lines, edition, links)
    if (!line) continue
    const before = last.get(line.lineId) ?? []
    const said = saidOf.get(line.lineId) ?? new Set<string>()
    saidOf.set(line.lineId, said)
    // A newer entry that named the side alone, or the end alone, may have meant all of it.
    const isSaid = (place: string) =>
      said.has(place) || said.has(placeCode(place)) || said.has(placeKey('', placeEnd(place)))
    const places = placesOf(fitting.positions).filter((place) => !isSaid(place))
    const positions = placeCodes(places).sort(placeOrder)
    // Where no place is said it may have been any of them, so it tells nothing beside newer ones.
    if (positions.length === 0 && before.length > 0) continue
    const same = before.find(
      (one) => one.fitting.entryId === fitting.entryId && one.fitting.partNumber === fitting.partNumber,
    )
    if (same) {
      same.positions = [...new Set([...same.positions, ...positions])].sort(placeOrder)
      for (const place of places) said.add(place)
      continue
    }
    for (const place of places) said.add(place)
    const now = supersessionResolve(fitting.partId, links).partId
    last.set(line.lineId, [
      ...before,
      { positions, fitting, nowNumber: now === fitting.partId ? null : (numberOf.get(now) ?? null) },
    ])
  }
  return last
}
