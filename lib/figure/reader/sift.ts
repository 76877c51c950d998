import type { Balloon } from './balloons.ts'
import { percentile } from './ink.ts'
import type { Leader } from './leaders.ts'
import type { NumberSpot } from './numbers.ts'
import type { CropText, PageBox } from './schema.ts'

/** A number on the drawing, before it is known whether it is a callout. */
export interface Candidate {
  text: string
  confidence: number
  spot: NumberSpot
  /** Null for a bare number. */
  balloon: Balloon | null
  leaders: Leader[]
}

/** In a ring nearly everything is an item: 7, 12A, E1, 1.1. */
const RINGED = /^[A-Z]?[1-9]\d{0,2}(?:\.\d{1,2})?[A-Z]?$/
/** Without a ring a letter first is a thread or a radius (M8, R5). */
const BARE = /^[1-9]\d{0,2}(?:[A-Z]|\.\d{1,2})?$/
const READ_AT_ALL = 0.35

/** A page numbers its parts in one manner: three rings that were read settle it, and bare numbers are then something else. */
export const RINGS_SETTLE = 3

function readable({ text, confidence }: Candidate, pattern: RegExp, items: ReadonlySet<string>): boolean {
  return confidence >= READ_AT_ALL && (pattern.test(text) || items.has(text))
}

/** Rings whose radius is that of most; one without a leader line must fit more closely. */
export function ringsOfOneSize(candidates: readonly Candidate[], items: ReadonlySet<string>): Candidate[] {
  const ringed = candidates.filter((one) => readable(one, RINGED, items))
  const led = ringed.filter(({ leaders }) => leaders.length > 0)
  if (led.length === 0) return []
  const usual = percentile(
    led.map(({ balloon }) => balloon!.radius),
    0.5,
  )
  const kept = ringed.filter(({ balloon, leaders, confidence }) => {
    const ratio = balloon!.radius / usual
    return leaders.length > 0 ? ratio > 0.6 && ratio < 1.7 : ratio > 0.85 && ratio < 1.18 && confidence > 0.6
  })
  // Signs of one number that the eye parts (1 1) share a ring: the surer reading stays.
  return kept.filter(
    (one) =>
      !kept.some(
        (other) =>
          other !== one &&
          Math.hypot(other.balloon!.x - one.balloon!.x, other.balloon!.y - one.balloon!.y) < usual * 0.5 &&
          (other.spot.blobs.length > one.spot.blobs.length ||
            (other.spot.blobs.length === one.spot.blobs.length && other.confidence > one.confidence)),
      ),
  )
}

/** The height of type that most of the numbers with leader lines have; fewer than three are no numbering of parts. */
export function typeOfOneHeight(candidates: readonly Candidate[], items: ReadonlySet<string>): Candidate[] {
  // A faint reading that the list does not know is a scrap of the drawing.
  const known = (one: Candidate) => items.size === 0 || items.has(one.text) || one.confidence >= 0.75
  const bare = candidates.filter((one) => readable(one, BARE, items) && known(one))
  let best: Candidate[] = []
  for (const { spot } of bare) {
    const alike = bare.filter((other) => Math.abs(other.spot.height / spot.height - 1) < 0.14)
    if (alike.length > best.length) best = alike
  }
  const enough = best.length >= 3 || (best.length > 0 && best.every(({ text }) => items.has(text)))
  return enough ? best : []
}

/** The list has items; where so many of them are not on the drawing, numbers may have run into what they stand on. */
const LACKING = 0.05

export function itemsLack(found: readonly Candidate[], items: ReadonlySet<string>): boolean {
  const seen = new Set(found.map(({ text }) => text))
  return [...items].filter((item) => !seen.has(item)).length > LACKING * items.size
}

/**
 * Numbers of two looks at a page, each once. Where both found one at a place the first counts, but for a scrap of what the second
 * found: the 7 of a 17 whose 1 ran into the line below it, when the list knows the 17. The second is only asked for what the list
 * has.
 */
export function withoutScraps(
  first: readonly Candidate[],
  second: readonly Candidate[],
  items: ReadonlySet<string>,
): Candidate[] {
  const isScrap = (one: Candidate) =>
    second.some(
      (other) =>
        boxesMeet(one.spot.box, other.spot.box) && other.text.length > one.text.length && items.has(other.text),
    )
  const kept = first.filter((one) => !isScrap(one))
  const sought = (one: Candidate) => items.size === 0 || items.has(one.text)
  return [
    ...kept,
    ...second.filter((one) => sought(one) && !kept.some((other) => boxesMeet(one.spot.box, other.spot.box))),
  ]
}

function boxesMeet(a: PageBox, b: PageBox): boolean {
  return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/** A reading that the list settled is less sure than one that was read so. */
const SETTLED = 0.9

/**
 * What a number means when the list does not know it as it was read: on a coarse copy the point of 3.2 drowns between its digits,
 * and dirt between them reads as one. 32 is 3.2 when the list has that one only, and the other way about.
 */
export function itemMeant<Read extends Pick<CropText, 'text' | 'confidence'>>(
  read: Read,
  items: ReadonlySet<string>,
): Read {
  if (items.has(read.text) || !/^\d[\d.]{1,4}[A-Z]?$/.test(read.text)) return read
  const signs = (text: string) => text.replaceAll('.', '')
  const meant = [...items].filter((item) => signs(item) === signs(read.text))
  return meant.length === 1 ? { ...read, text: meant[0]!, confidence: read.confidence * SETTLED } : read
}

/** So many numbers with a point show that a page numbers its parts by assembly: 3, 3.1, 3.2. */
const POINTED = 3
/** A numbering without points runs on: it has more than this share of the numbers up to its highest. */
const RUNS_ON = 0.6
/** A point that nobody saw is for a person to look at. */
const SUPPOSED = 0.7

/**
 * Puts back points that a coarse copy swallowed on a page that numbers by assembly. Where 3.1 and 4.2 were read and 62 is far beyond
 * what the other numbers run up to, 62 is 6.2, if the page has a 6 or another of its parts. What the list has as it was read stays.
 */
export function pointsPutBack<Read extends Pick<CropText, 'text' | 'confidence'>>(
  found: readonly Read[],
  items: ReadonlySet<string>,
): Read[] {
  const texts = new Set(found.map(({ text }) => text))
  const whole = [...texts].filter((text) => /^\d+$/.test(text))
  const runsOn = whole.length > RUNS_ON * Math.max(0, ...whole.map(Number))
  const pointed = [...texts].filter((text) => /^\d\.\d$/.test(text))
  if (runsOn || pointed.length < POINTED || whole.some((text) => text.length > 2 || /\d0/.test(text))) return [...found]
  const assemblies = new Set([...pointed, ...whole.filter((text) => text.length === 1)].map((text) => text[0]))
  return found.map((one) =>
    /^\d\d$/.test(one.text) && !items.has(one.text) && assemblies.has(one.text[0])
      ? { ...one, text: `${one.text[0]}.${one.text[1]}`, confidence: Math.min(one.confidence, SUPPOSED) }
      : one,
  )
}
