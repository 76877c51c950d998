import { Refusal } from '../refusal.ts'
import { castleNutSplitPin } from './castle-nut.ts'
import table from './split-pin.json'
import { threadDiameterMm } from './thread.ts'

export interface SplitPinSize {
  /** Nominal size, which is the diameter of the hole. */
  nominalMm: number
  bodyMmMin: number
  bodyMmMax: number
  headMmMin: number
  headMmMax: number
  /** Bolts and clevis pins over the limit of the size before, up to and including this one; null is no limit. */
  boltMmUpTo: number | null
  clevisMmUpTo: number | null
  lengthMmMin: number
  lengthMmMax: number
}

export const SPLIT_PIN_STANDARD = 'ISO 1234:1997'
export const SPLIT_PIN_SIZES: readonly SplitPinSize[] = table.sizes

function noSize(what: string): Refusal {
  return new Refusal('fastener/no-size', { standard: SPLIT_PIN_STANDARD, what })
}

function positive(mm: number, what: string): number {
  if (!(mm > 0) || !Number.isFinite(mm)) throw noSize(`${what} of ${mm} mm`)
  return mm
}

function rangeText(lower: number, upper: number | null, what: string): string {
  return upper === null ? `${what} over ${lower} mm` : `${what} over ${lower} up to ${upper} mm`
}

/** The row of one nominal size, in mm. Refuses a size the standard does not list. */
export function splitPinSize(nominalMm: number): SplitPinSize {
  const size = SPLIT_PIN_SIZES.find((row) => row.nominalMm === nominalMm)
  if (!size) throw noSize(`a split pin of ${nominalMm} mm`)
  return size
}

/** Bolts and clevis pins a nominal size is meant for: over (exclusive), up to (inclusive), in mm. */
export function splitPinRange(nominalMm: number) {
  const index = SPLIT_PIN_SIZES.indexOf(splitPinSize(nominalMm))
  const size = SPLIT_PIN_SIZES[index]!
  const before = SPLIT_PIN_SIZES[index - 1]
  return {
    boltMmOver: before?.boltMmUpTo ?? 0,
    boltMmUpTo: size.boltMmUpTo,
    clevisMmOver: before?.clevisMmUpTo ?? 0,
    clevisMmUpTo: size.clevisMmUpTo,
  }
}

/**
 * Split pin for a measured hole: the largest nominal size not above the hole, since the nominal size is the hole (tolerance H13).
 * Example: a hole of 3.3 mm takes a 3.2. Refuses holes below the smallest size.
 */
export function splitPinForHole(holeMm: number): SplitPinSize {
  positive(holeMm, 'a hole')
  const size = SPLIT_PIN_SIZES.findLast((row) => row.nominalMm <= holeMm)
  if (!size) throw noSize(`a hole of ${holeMm} mm`)
  return size
}

/** Split pin for a bolt or stud by thread diameter in mm. Example: M16 takes a 4. */
export function splitPinForBolt(threadMm: number): SplitPinSize {
  positive(threadMm, 'a bolt')
  return SPLIT_PIN_SIZES.find((row) => row.boltMmUpTo === null || threadMm <= row.boltMmUpTo)!
}

/** Split pin for a clevis pin by its diameter in mm: stouter than for a bolt, as the pin swings. Example: 20 takes a 5. */
export function splitPinForClevis(pinMm: number): SplitPinSize {
  positive(pinMm, 'a clevis pin')
  return SPLIT_PIN_SIZES.find((row) => row.clevisMmUpTo === null || pinMm <= row.clevisMmUpTo)!
}

/** Shortest standard length (mm) of that nominal size that is not shorter than asked; null when the longest is too short. */
export function splitPinLength(nominalMm: number, atLeastMm: number): number | null {
  const { lengthMmMin, lengthMmMax } = splitPinSize(nominalMm)
  return table.lengthsMm.find((mm) => mm >= atLeastMm && mm >= lengthMmMin && mm <= lengthMmMax) ?? null
}

export interface SplitPinChoice {
  nominalMm: number
  /** Null where the joint gives no length: measure over the nut or pin. */
  lengthMm: number | null
  /** What the size was taken from, in words. */
  from: string
  source: string
}

/**
 * The split pin a joint asks for. A measured hole rules over the thread, and the thread over the clevis pin.
 * Length: for a castle nut by DIN 935-1; for a clevis pin one and a half diameters, so that both legs bend round it
 * (common practice, no source). Null when the joint gives neither hole, thread nor pin.
 */
export function splitPinForJoint(joint: {
  holeMm?: number
  thread?: string
  clevisPinMm?: number
}): SplitPinChoice | null {
  const threadMm = joint.thread ? threadDiameterMm(joint.thread) : null
  const nut = threadMm === null ? null : castleNutSplitPin(threadMm)
  const lengthFor = (nominalMm: number): number | null => {
    if (nut) return nut.splitPinLengthMm
    return joint.clevisPinMm ? splitPinLength(nominalMm, joint.clevisPinMm * 1.5) : null
  }
  if (joint.holeMm !== undefined) {
    const { nominalMm } = splitPinForHole(joint.holeMm)
    return { nominalMm, lengthMm: lengthFor(nominalMm), from: `hole of ${joint.holeMm} mm`, source: SPLIT_PIN_STANDARD }
  }
  if (threadMm !== null) {
    const { nominalMm } = splitPinForBolt(threadMm)
    const range = splitPinRange(nominalMm)
    return {
      nominalMm,
      lengthMm: lengthFor(nominalMm),
      from: `${joint.thread}: ${rangeText(range.boltMmOver, range.boltMmUpTo, 'bolts')}`,
      source: nut ? `${SPLIT_PIN_STANDARD}; length DIN 935-1` : SPLIT_PIN_STANDARD,
    }
  }
  if (joint.clevisPinMm !== undefined) {
    const { nominalMm } = splitPinForClevis(joint.clevisPinMm)
    const range = splitPinRange(nominalMm)
    return {
      nominalMm,
      lengthMm: lengthFor(nominalMm),
      from: `clevis pin of ${joint.clevisPinMm} mm: ${rangeText(range.clevisMmOver, range.clevisMmUpTo, 'clevis pins')}`,
      source: `${SPLIT_PIN_STANDARD}; length common practice, no source`,
    }
  }
  return null
}

/** As it is asked for over the counter: "split pin 4 x 28, ISO 1234". */
export function splitPinText(choice: { nominalMm: number; lengthMm: number | null }): string {
  return choice.lengthMm === null
    ? `split pin ${choice.nominalMm} mm, length to suit, ISO 1234`
    : `split pin ${choice.nominalMm} x ${choice.lengthMm}, ISO 1234`
}
