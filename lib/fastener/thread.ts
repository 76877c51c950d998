import { Refusal } from '../refusal.ts'
import table from './thread.json'

export interface Thread {
  diameterMm: number
  pitchMm: number
  coarse: boolean
}

interface ThreadRow {
  diameterMm: number
  coarsePitchMm: number
  headBearingMm?: number
  clearanceHoleMm?: number
}
const ROWS: readonly ThreadRow[] = table.threads

/** Row of the thread table for a diameter in mm: coarse pitch, bearing face of the hexagon head, medium clearance hole. */
export function threadRow(diameterMm: number): ThreadRow | null {
  return ROWS.find((row) => row.diameterMm === diameterMm) ?? null
}

/**
 * Reads M16 or M16x1.5. Without a pitch the coarse one of ISO 261 is meant.
 * Refuses what is no ISO metric thread and a diameter whose coarse pitch is not in the table.
 */
export function threadParse(text: string): Thread {
  const match = /^M(\d+(?:\.\d+)?)(?:[x×](\d+(?:\.\d+)?))?$/i.exec(text.replace(/\s+/g, ''))
  const diameterMm = Number(match?.[1] ?? 0)
  const coarsePitchMm = threadRow(diameterMm)?.coarsePitchMm
  const pitchMm = match?.[2] ? Number(match[2]) : coarsePitchMm
  if (!(diameterMm > 0) || !pitchMm || pitchMm >= diameterMm) {
    throw new Refusal('fastener/no-size', { standard: 'ISO 261', what: `a thread ${text}` })
  }
  return { diameterMm, pitchMm, coarse: pitchMm === coarsePitchMm }
}

/** Diameter in mm of M16 or M16x1.5; null for what is no ISO metric thread. Split pins ask for no more. */
export function threadDiameterMm(text: string): number | null {
  const match = /^M(\d+(?:\.\d+)?)(?:[x×]\d+(?:\.\d+)?)?$/i.exec(text.replace(/\s+/g, ''))
  return match && Number(match[1]) > 0 ? Number(match[1]) : null
}

/** Pitch diameter d2 in mm (ISO 724: d - 0.6495 P, from the height of the triangle H = P sqrt(3)/2). */
export function threadPitchDiameterMm({ diameterMm, pitchMm }: Thread): number {
  return diameterMm - 0.375 * Math.sqrt(3) * pitchMm
}

/** Root diameter d3 in mm (ISO 898-1: d - 1.2269 P). */
export function threadRootDiameterMm({ diameterMm, pitchMm }: Thread): number {
  return diameterMm - (17 / 24) * Math.sqrt(3) * pitchMm
}

/** Nominal stress area in mm2: the circle halfway between pitch and root diameter (ISO 898-1:2013, 9.1.6). M16 has 157. */
export function threadStressAreaMm2(thread: Thread): number {
  const diameterMm = (threadPitchDiameterMm(thread) + threadRootDiameterMm(thread)) / 2
  return (Math.PI / 4) * diameterMm ** 2
}
