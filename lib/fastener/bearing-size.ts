import { Refusal } from '../refusal.ts'
import table from './bearing-size.json'

export interface BearingSize {
  boreMm: number
  outsideMm: number
  widthMm: number
}

export const BEARING_STANDARD = 'ISO 15'

const SMALL_BORES_MM = [10, 12, 15, 17]
const SERIES: Record<string, number[][]> = table.series

/**
 * Boundary dimensions in mm of a rolling bearing by its basic designation: series 60, 62 or 63 and the bore code, whose
 * bore is five times the code from 04 on. What is written behind (2RS, ZZ, C3) is left aside. Example: 6206-2RS is 30 x 62 x 16.
 * Refuses what the table does not list: measure outside diameter and width.
 */
export function bearingSize(designation: string): BearingSize {
  const match = /^\s*(6[023])\s*(\d{2})(?!\d)/.exec(designation)
  const code = Number(match?.[2] ?? -1)
  const row = match ? SERIES[match[1]!]?.[code] : undefined
  if (!row)
    throw new Refusal('fastener/no-size', {
      standard: BEARING_STANDARD,
      what: `a bearing “${designation.trim()}” in series 60, 62 or 63`,
    })
  return { boreMm: SMALL_BORES_MM[code] ?? code * 5, outsideMm: row[0]!, widthMm: row[1]! }
}
