import table from './property-class.json'
import { proofLoadN, propertyClassStrength, tensileLoadN } from './property-class.ts'
import { type Thread, threadParse, threadRow, threadStressAreaMm2 } from './thread.ts'
import { boltTightening } from './tightening.ts'
import { nutFactor, PRELOAD_SHARE, type ThreadState, torqueNmOfPreload } from './torque.ts'

/** Property classes the table lists, weakest first. */
export const PROPERTY_CLASSES: readonly string[] = [...new Set(table.classes.map((row) => row.propertyClass))]

export const THREAD_STATES: readonly ThreadState[] = ['dry', 'oiled', 'anti-seize', 'thread-lock']

/** Friction of thread and head from well greased to dry; 0.12 is the usual value of oiled steel (VDI 2230 Part 1, Table A5). */
const FRICTION = { least: 0.08, usual: 0.12, most: 0.16 } as const

/** A torque in N m with the range that the scatter of friction gives it. */
export interface TorqueRange {
  torqueNm: number
  torqueNmMin: number
  torqueNmMax: number
}

export interface BoltSheet {
  thread: Thread
  propertyClass: string
  stressAreaMm2: number
  proofLoadN: number
  tensileLoadN: number
  /** Three quarters of the proof load: for joints that are taken apart again (Shigley, section 8-9). */
  preloadN: number
  /** T = K d F for that preload, by the state of the thread; K as published, with its spread. */
  states: ({ state: ThreadState; k: number } & TorqueRange)[]
  /** VDI 2230 at 90 % of yield, friction 0.08 to 0.16; null where there is no head of that size, or the class is below 8.8. */
  atYield: (TorqueRange & { preloadN: number }) | null
}

/**
 * All that can be said of a bolt before the maker's figure is found: areas in mm2, loads in N, torques in N m.
 * Refuses what is no metric thread, and classes the table does not list (ISO 898-1).
 */
export function boltSheet(threadText: string, propertyClass: string): BoltSheet {
  const thread = threadParse(threadText)
  propertyClassStrength(propertyClass, thread.diameterMm)
  const preload = PRELOAD_SHARE.takenApart * proofLoadN(propertyClass, thread)
  return {
    thread,
    propertyClass,
    stressAreaMm2: threadStressAreaMm2(thread),
    proofLoadN: proofLoadN(propertyClass, thread),
    tensileLoadN: tensileLoadN(propertyClass, thread),
    preloadN: preload,
    states: THREAD_STATES.map((state) => {
      const { k, kMin, kMax } = nutFactor(state)
      const torque = (factor: number) => torqueNmOfPreload(factor, thread.diameterMm, preload)
      return { state, k, torqueNm: torque(k), torqueNmMin: torque(kMin), torqueNmMax: torque(kMax) }
    }),
    atYield: atYield(thread, propertyClass),
  }
}

function atYield(thread: Thread, propertyClass: string): BoltSheet['atYield'] {
  const row = threadRow(thread.diameterMm)
  if (!row?.headBearingMm || !row.clearanceHoleMm || Number(propertyClass) < 8.8) return null
  const at = (friction: number) =>
    boltTightening({ propertyClass, thread, frictionThread: friction, frictionHead: friction })
  const usual = at(FRICTION.usual)
  return {
    preloadN: usual.preloadN,
    torqueNm: usual.torqueNm,
    torqueNmMin: at(FRICTION.least).torqueNm,
    torqueNmMax: at(FRICTION.most).torqueNm,
  }
}
