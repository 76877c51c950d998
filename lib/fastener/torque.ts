import table from './nut-factor.json'
import { proofLoadN } from './property-class.ts'
import type { Thread } from './thread.ts'

/** State of a thread when it is tightened. */
export type ThreadState = 'dry' | 'oiled' | 'anti-seize' | 'thread-lock'

export interface NutFactor {
  state: ThreadState
  k: number
  kMin: number
  kMax: number
  source: string
}

export const TORQUE_SOURCE = 'T = K d F; K after Shigley, Mechanical Engineering Design, Table 8-15'

/** 0.45359237 kg x 9.80665 m/s2 x 0.3048 m, exact by definition of pound, gravity and foot. */
export const NM_PER_LBF_FT = 0.45359237 * 9.80665 * 0.3048

/** Share of the proof load for a joint that is taken apart again, and for one that stays (Shigley, section 8-9). */
export const PRELOAD_SHARE = { takenApart: 0.75, stays: 0.9 } as const

/** K of T = K d F with its published spread, by state of the thread. */
export function nutFactor(state: ThreadState): NutFactor {
  const row = table.states.find((factor) => factor.state === state)
  if (!row) throw new RangeError(`No nut factor for threads that are ${state}.`)
  return { ...row, state }
}

/** K by surface as the textbook lists it ("zinc plated"); null where it does not. */
export function nutFactorOfSurface(condition: string): number | null {
  return table.conditions.find((row) => row.condition === condition)?.k ?? null
}

/**
 * Preload in N for a bolt of that class: a share of its proof load.
 * `stressAreaMm2` is computed from the thread unless a table's rounded value is handed in.
 */
export function preloadN(
  propertyClass: string,
  thread: Thread,
  share: number = PRELOAD_SHARE.takenApart,
  stressAreaMm2?: number,
): number {
  return share * proofLoadN(propertyClass, thread, stressAreaMm2)
}

/** Torque in N m from T = K d F. A rule of thumb with wide scatter: the maker's figure rules where there is one. */
export function torqueNmOfPreload(k: number, diameterMm: number, preload: number): number {
  return (k * diameterMm * preload) / 1000
}

/** Torque in lbf ft from T = K d F with d in inches and F in lbf. */
export function torqueLbfFtOfPreload(k: number, diameterIn: number, preloadLbf: number): number {
  return (k * diameterIn * preloadLbf) / 12
}

export interface TreatedTorque {
  torqueNm: number
  torqueNmMin: number
  torqueNmMax: number
  stated: NutFactor
  treated: NutFactor
}

/**
 * The torque that gives the same preload when the threads are in another state than the stated torque is meant for: T x K2 / K1.
 * The range pairs the ends of both published spreads. Example: 120 N m dry is about 72 N m with anti-seize (53 to 107).
 * Always "use the maker's figure for treated threads where there is one".
 */
export function torqueForTreatment(torqueNm: number, statedState: ThreadState, newState: ThreadState): TreatedTorque {
  const stated = nutFactor(statedState)
  const treated = nutFactor(newState)
  if (statedState === newState) return { torqueNm, torqueNmMin: torqueNm, torqueNmMax: torqueNm, stated, treated }
  return {
    torqueNm: (torqueNm * treated.k) / stated.k,
    torqueNmMin: (torqueNm * treated.kMin) / stated.kMax,
    torqueNmMax: (torqueNm * treated.kMax) / stated.kMin,
    stated,
    treated,
  }
}

/** Torque at the nut when the wrench is set to `setNm` and an extension lengthens it from L1 to L2, both to the middle of the grip. */
export function torqueWithExtensionNm(setNm: number, wrenchMm: number, wrenchAndExtensionMm: number): number {
  return (setNm * wrenchAndExtensionMm) / wrenchMm
}

/** What to set on the wrench so that `wantedNm` arrives at the nut through an extension. */
export function torqueSettingNm(wantedNm: number, wrenchMm: number, wrenchAndExtensionMm: number): number {
  return (wantedNm * wrenchMm) / wrenchAndExtensionMm
}
