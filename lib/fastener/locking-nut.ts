import table from './locking-nut.json'

export type LockingNutKind = 'all-metal' | 'plastic-insert'

/** Temperatures in degrees Celsius between which a prevailing torque nut keeps its grip (ISO 2320:2015, scope). */
export function lockingNutLimits(kind: LockingNutKind): { celsiusMin: number; celsiusMax: number } {
  const row = table.kinds.find((nut) => nut.kind === kind)
  if (!row) throw new RangeError(`No limits for ${kind} nuts.`)
  return { celsiusMin: row.celsiusMin, celsiusMax: row.celsiusMax }
}

/** Removals after which the acceptance test measures the grip. A test condition, no licence to use a nut so often. */
export const LOCKING_NUT_REMOVALS_TESTED: readonly number[] = table.removalsTested

/**
 * Whether a prevailing torque nut is due for renewal after that many removals.
 * `renewAfterRemovals` is the workshop's setting for safety joints; other joints go by the feel of the nut (null).
 */
export function lockingNutDue(
  removals: number,
  safetyJoint: boolean,
  renewAfterRemovals: number = table.renewAfterRemovals,
): boolean | null {
  return safetyJoint ? removals >= renewAfterRemovals : null
}
