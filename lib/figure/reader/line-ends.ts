import type { InkPage } from './ink.ts'
import { inkedAt } from './ink.ts'

/**
 * How far along a stroke its arrow head or dot ends it (ISO 128-22: on an outline an arrow, on a surface a dot), or null. `breadths`
 * is the breadth of ink across the stroke at each pixel of the way, 0 on paper; `usual` the stroke's own breadth.
 */
export function endMark(
  ink: InkPage,
  breadths: Uint8Array,
  usual: number,
  limit: number,
  place: (way: number) => readonly [number, number],
): number | null {
  const least = Math.max(4.5, 2.3 * usual)
  // A small part in the way can look like a mark: the last one counts, and a dot with a line behind it only when it is alone.
  let sure: number | null = null
  let maybe: number | null = null
  for (let way = 6; way < breadths.length - 3; way++) {
    if (breadths[way]! < least || breadths[way]! >= limit) continue
    if (breadths.slice(way - 5, way - 2).some((breadth) => breadth > 1.5 * usual + 1)) continue
    const arrow = arrowEnd(breadths, way, usual, limit)
    const dot = arrow === null ? dotAt(ink, breadths, way, usual, limit, place) : null
    if (arrow !== null) sure = arrow
    else if (dot?.last) sure = dot.middle
    else maybe ??= dot?.middle ?? null
  }
  return sure ?? maybe
}

/** Blunt behind, then thinner and thinner: answers where it is as thin as the stroke again or runs into other ink. */
function arrowEnd(breadths: Uint8Array, from: number, usual: number, limit: number): number | null {
  const broadest = Math.max(...breadths.slice(from, from + 4))
  if (broadest >= limit) return null
  let low = broadest
  let end = from
  for (let way = from; way < Math.min(breadths.length, from + 60); way++) {
    const breadth = breadths[way]!
    if (way > from + 4 && (breadth > low + 2 || breadth === 0)) break
    low = Math.min(low, breadth)
    end = way
    if (way > from + 4 && breadth <= 1.2 * usual) break
  }
  const long = end - from
  const late = breadths[from + Math.round(0.7 * long)] ?? 0
  return long >= 1.3 * broadest && late <= 0.6 * broadest + 1 && low <= 0.5 * broadest + 1 ? end : null
}

/** As long as it is broad, and no line crosses it: answers its middle, and whether nothing goes on behind it. */
function dotAt(
  ink: InkPage,
  breadths: Uint8Array,
  from: number,
  usual: number,
  limit: number,
  place: (way: number) => readonly [number, number],
): { middle: number; last: boolean } | null {
  let end = from
  while (end < breadths.length && breadths[end]! > 1.5 * usual + 0.5) end += 1
  const broadest = Math.max(...breadths.slice(from, end))
  const long = end - from + 2
  if (broadest >= limit || long < 0.6 * broadest || long > 1.6 * broadest) return null
  const [x, y] = place((from + end) / 2 - 0.5)
  const radius = broadest / 2 + 3
  let arms = 0
  let before = false
  for (let step = 0; step <= 48; step++) {
    const angle = (2 * Math.PI * step) / 48
    const here = inkedAt(ink, x + Math.cos(angle) * radius, y + Math.sin(angle) * radius)
    if (here && !before && step > 0) arms += 1
    before = here
  }
  return arms <= 2 ? { middle: (from + end) / 2, last: arms < 2 } : null
}
