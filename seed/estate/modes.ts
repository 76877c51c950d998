import type { PartClass } from '../../lib/catalogue/part-class.ts'
import modes from './modes.json'

/**
 * What the driver says, what the mechanic finds, what was done, by class of the part that failed. `{part}` is the parts
 * list's description, `{item}` its number on the drawing, `{where}` the position.
 */
export interface Mode {
  complaint: readonly string[]
  cause: readonly string[]
  correction: readonly string[]
  labourMinutesLeast: number
  labourMinutesMost: number
}

export const MODES: Partial<Record<PartClass, readonly Mode[]>> = modes
