export type AbcClass = 'A' | 'B' | 'C'
export const ABC_CLASSES: readonly AbcClass[] = ['A', 'B', 'C']
export const CRITICALITIES = ['vital', 'essential', 'desirable'] as const
export type Criticality = (typeof CRITICALITIES)[number]

/** What of a part was used over a year, money minor units; below zero where more came back than went out. */
export interface PartUse {
  partId: number
  useMinor: number
}

/** Up to which share of the value of use a part is A, and up to which B; per cent. */
export interface AbcLimits {
  a: number
  b: number
}

/**
 * Class of each part by value of use (Pareto classification of textbooks of inventory control, from memory): in falling order of
 * value a part is A while those before it come to less than `a` per cent of the whole, B while they come to less than `b`, else C.
 * So the part that crosses a limit still belongs to the class above it. What was not used is C. Parts of equal value go by id.
 * Example: uses of 70, 20, 6 and 4 with limits 80 and 95 are A, A, B, C.
 */
export function abcClasses(uses: readonly PartUse[], limits: AbcLimits): Map<number, AbcClass> {
  const used = uses.map((use) => ({ ...use, useMinor: Math.max(0, use.useMinor) }))
  used.sort((one, other) => other.useMinor - one.useMinor || one.partId - other.partId)
  const whole = used.reduce((sum, { useMinor }) => sum + useMinor, 0)
  const classes = new Map<number, AbcClass>()
  let before = 0
  for (const { partId, useMinor } of used) {
    const isBelow = (limit: number) => useMinor > 0 && before * 100 < limit * whole
    classes.set(partId, isBelow(limits.a) ? 'A' : isBelow(limits.b) ? 'B' : 'C')
    before += useMinor
  }
  return classes
}

export interface MatrixCell {
  parts: number
  useMinor: number
}

/** How many parts, and what value of use, stand in each class and criticality. */
export function abcMatrix(
  parts: readonly (PartUse & { criticality: Criticality })[],
  classes: ReadonlyMap<number, AbcClass>,
): Record<Criticality, Record<AbcClass, MatrixCell>> {
  const row = () => ({ A: { parts: 0, useMinor: 0 }, B: { parts: 0, useMinor: 0 }, C: { parts: 0, useMinor: 0 } })
  const matrix = { vital: row(), essential: row(), desirable: row() }
  for (const { partId, useMinor, criticality } of parts) {
    const cell = matrix[criticality][classes.get(partId) ?? 'C']
    cell.parts += 1
    cell.useMinor += Math.max(0, useMinor)
  }
  return matrix
}
