import type { PartClass } from '../../lib/catalogue/part-class.ts'
import modes from './modes.json'

/**
 * What the driver says, what the mechanic finds, what was done, by class of the part that failed. `{part}` is the parts
 * list's description, `{item}` its number on the drawing, `{where}` the position.
 */
export interface Mode {
  /** Where it belongs: a trouble ("trailer/lamp"), a figure ("trailer 5-04") or a model. Left out: wherever the part is fitted. */
  of?: readonly string[]
  complaint: readonly string[]
  cause: readonly string[]
  correction: readonly string[]
  labourMinutesLeast: number
  labourMinutesMost: number
}

const MODES: Partial<Record<PartClass, readonly Mode[]>> = modes

/**
 * What can be said of a part where it is fitted. `places` from the narrowest to the widest: the first that has modes of its own
 * decides, since a filter that costs an engine its power costs a sprayer its pressure.
 */
export function modesOf(partClass: PartClass, places: readonly string[]): readonly Mode[] {
  const modes = MODES[partClass] ?? []
  for (const place of places) {
    const own = modes.filter((mode) => mode.of?.includes(place))
    if (own.length > 0) return own
  }
  return modes.filter((mode) => mode.of === undefined)
}
