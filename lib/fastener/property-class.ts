import { Refusal } from '../refusal.ts'
import table from './property-class.json'
import { type Thread, threadStressAreaMm2 } from './thread.ts'

interface PropertyClassRow {
  propertyClass: string
  upToMm?: number
  proofMPa: number
  tensileMPa: number
  yieldMPa: number
}
const ROWS: readonly PropertyClassRow[] = table.classes

/**
 * Strength in MPa of a bolt by property class and thread diameter in mm (ISO 898-1:2013, Table 3).
 * 8.8 is stronger above 16 mm. Refuses classes the table does not list.
 */
export function propertyClassStrength(propertyClass: string, diameterMm: number): PropertyClassRow {
  const row = ROWS.find(
    (r) => r.propertyClass === propertyClass && diameterMm <= (r.upToMm ?? Number.POSITIVE_INFINITY),
  )
  if (!row) throw new Refusal('fastener/no-size', { standard: 'ISO 898-1', what: `property class ${propertyClass}` })
  return row
}

/** Proof load in N: the pull a bolt stands without lasting stretch. M10 8.8 has 33 700. */
export function proofLoadN(propertyClass: string, thread: Thread, stressAreaMm2 = threadStressAreaMm2(thread)): number {
  return propertyClassStrength(propertyClass, thread.diameterMm).proofMPa * stressAreaMm2
}

/** Least pull in N at which a bolt of that class may break. */
export function tensileLoadN(
  propertyClass: string,
  thread: Thread,
  stressAreaMm2 = threadStressAreaMm2(thread),
): number {
  return propertyClassStrength(propertyClass, thread.diameterMm).tensileMPa * stressAreaMm2
}
