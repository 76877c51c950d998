import { Refusal } from '../refusal.ts'
import { propertyClassStrength } from './property-class.ts'
import { type Thread, threadPitchDiameterMm, threadRootDiameterMm, threadRow } from './thread.ts'

export const TIGHTENING_SOURCE = 'VDI 2230 Part 1, formulas of assembly preload and tightening torque'

/**
 * Assembly preload (N) and tightening torque (N m) at 90 % of yield for a hexagon head bolt in a medium clearance hole.
 * Pull and twist together must stay at that share of yield, so more friction in the thread leaves less preload.
 *   FM = A0 nu Rp / sqrt(1 + 3 (3/2 d2/d0 (P/(pi d2) + 1.155 muG))^2), d0 = (d2 + d3)/2
 *   MA = FM (0.16 P + 0.58 d2 muG + DKm/2 muK), DKm halfway between head and hole
 * Friction is without unit, 0.08 (well greased) to 0.20 (dry). Refuses diameters without head data.
 * Source: VDI 2230 Part 1:2015, 5.4.3; the maker's figure rules where there is one.
 */
export function boltTightening(input: {
  propertyClass: string
  thread: Thread
  frictionThread: number
  frictionHead: number
  yieldShare?: number
}) {
  const { thread, frictionThread, frictionHead, yieldShare = 0.9 } = input
  const row = threadRow(thread.diameterMm)
  if (!row?.headBearingMm || !row.clearanceHoleMm) {
    throw new Refusal('fastener/no-size', { standard: 'The head table', what: `M${thread.diameterMm}` })
  }
  const d2 = threadPitchDiameterMm(thread)
  const d0 = (d2 + threadRootDiameterMm(thread)) / 2
  const area = (Math.PI / 4) * d0 ** 2
  const twist = 1.5 * (d2 / d0) * (thread.pitchMm / (Math.PI * d2) + 1.155 * frictionThread)
  const { yieldMPa } = propertyClassStrength(input.propertyClass, thread.diameterMm)
  const preloadN = (area * yieldShare * yieldMPa) / Math.sqrt(1 + 3 * twist ** 2)
  const headMm = (row.headBearingMm + row.clearanceHoleMm) / 2
  const torqueNm =
    (preloadN * (0.16 * thread.pitchMm + 0.58 * d2 * frictionThread + (headMm / 2) * frictionHead)) / 1000
  return { preloadN, torqueNm }
}
