import { Refusal } from '../refusal.ts'
import { type BearingSize, bearingSize } from './bearing-size.ts'
import { type BoltSheet, boltSheet } from './bolt-sheet.ts'
import { greaseGrams } from './grease.ts'
import { type SplitPinChoice, type SplitPinSize, splitPinForJoint, splitPinSize } from './split-pin.ts'
import { type ThreadState, type TreatedTorque, torqueForTreatment } from './torque.ts'
import { wheelNutSequence, wheelNutStages } from './wheel-nut-sequence.ts'

/** What a person typed, field by field; '' is an empty field. */
export type Typed<Name extends string> = Record<Name, string>

/**
 * A positive number as it is typed at a bench: decimal point or comma, null when nothing was typed.
 * Refuses what is no number, and what lies outside `least` to `most` in the unit named.
 */
export function typedNumber(text: string, what: string, unit: string, least: number, most: number): number | null {
  const clean = text.trim().replace(',', '.')
  if (clean === '') return null
  const value = /^\d{1,6}(\.\d{1,3})?$/.test(clean) ? Number(clean) : Number.NaN
  if (!(value >= least && value <= most)) {
    throw new Refusal('fastener/not-measured', { what, typed: text.trim(), least, most, unit })
  }
  return value
}

function needed<T>(value: T | null, what: string): T {
  if (value === null) throw new Refusal('fastener/nothing-typed', { what })
  return value
}

/** The split pin of a joint by hole (mm), thread (M16) or clevis pin (mm); the hole rules where several are given. */
export function askSplitPin(typed: Typed<'hole' | 'thread' | 'clevis'>): SplitPinChoice & { size: SplitPinSize } {
  const holeMm = typedNumber(typed.hole, 'The hole', 'mm', 0.6, 40)
  const clevisPinMm = typedNumber(typed.clevis, 'The clevis pin', 'mm', 1, 250)
  const thread = typed.thread.trim()
  if (thread !== '' && !/^m?\s*\d/i.test(thread))
    throw new Refusal('fastener/no-size', { standard: 'ISO 1234', what: `a thread “${thread}”; write it as M16` })
  const joint = {
    ...(holeMm === null ? {} : { holeMm }),
    ...(thread === '' ? {} : { thread: /^m/i.test(thread) ? thread : `M${thread}` }),
    ...(clevisPinMm === null ? {} : { clevisPinMm }),
  }
  const choice = needed(splitPinForJoint(joint), 'the hole, the thread or the clevis pin')
  return { ...choice, size: splitPinSize(choice.nominalMm) }
}

/** A bolt by thread and property class; with the torque of a manual, what it becomes when the thread is treated. */
export function askBolt(
  typed: Typed<'thread' | 'propertyClass' | 'statedNm'> & { statedState: ThreadState; newState: ThreadState },
): { sheet: BoltSheet | null; treated: TreatedTorque | null; statedNm: number | null } {
  const statedNm = typedNumber(typed.statedNm, 'The torque of the manual', 'N m', 0.5, 5000)
  const thread = typed.thread.trim()
  const sheet = thread === '' ? null : boltSheet(/^m/i.test(thread) ? thread : `M${thread}`, typed.propertyClass)
  if (sheet === null && statedNm === null)
    throw new Refusal('fastener/nothing-typed', { what: 'the thread or the torque of the manual' })
  return {
    sheet,
    statedNm,
    treated: statedNm === null ? null : torqueForTreatment(statedNm, typed.statedState, typed.newState),
  }
}

/** Order of the nuts, and the stages when the torque of the manual is given. */
export function askWheel(typed: Typed<'studs' | 'wheelNm'>) {
  const studs = needed(typedNumber(typed.studs, 'The number of studs', 'studs', 2, 24), 'the number of studs')
  if (!Number.isInteger(studs))
    throw new Refusal('fastener/not-measured', {
      what: 'The number of studs',
      typed: typed.studs,
      least: 2,
      most: 24,
      unit: 'studs',
    })
  const torqueNm = typedNumber(typed.wheelNm, 'The torque of the manual', 'N m', 5, 2000)
  return { studs, sequence: wheelNutSequence(studs), stages: torqueNm === null ? null : wheelNutStages(torqueNm) }
}

/** Grams to relubricate a bearing, by its number or by outside diameter and width in mm. */
export function askGrease(typed: Typed<'bearing' | 'outside' | 'width'>): { grams: number; size: BearingSize | null } {
  if (typed.bearing.trim() !== '') {
    const size = bearingSize(typed.bearing)
    return { grams: greaseGrams(size.outsideMm, size.widthMm), size }
  }
  const outside = needed(
    typedNumber(typed.outside, 'The outside diameter', 'mm', 5, 2000),
    'the bearing number, or its outside diameter and width',
  )
  const width = needed(typedNumber(typed.width, 'The width', 'mm', 2, 1000), 'the width of the bearing as well')
  return { grams: greaseGrams(outside, width), size: null }
}
