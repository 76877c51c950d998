import { readFileSync } from 'node:fs'
import type { SeriesPart } from '../../lib/demand/series-file.ts'
import { csvCells } from '../support/csv-cells.ts'

/** The three sets of real demand, and how many periods come before those that are judged (demand/README.md). */
export const DEMAND_SETS = {
  carparts: { train: 39, periods: 12 },
  aircraft: { train: 60, periods: 24 },
  refinery: { train: 33, periods: 12 },
} as const
export type DemandSet = keyof typeof DEMAND_SETS

/** Parts of a set with their prices; `pathOf` says where a file of the reference folder lies. */
export function demandSetRead(set: DemandSet, pathOf: (name: string) => string): SeriesPart[] {
  const prices = new Map<string, number>()
  if (set !== 'carparts')
    for (const row of csvCells(readFileSync(pathOf(`demand/${set}-parts.csv`), 'utf8')))
      if (row.price) prices.set(row.id!, Number(row.price))
  const parts = new Map<string, SeriesPart>()
  for (const { id, quantity } of csvCells(readFileSync(pathOf(`demand/${set}.csv`), 'utf8'))) {
    const part = parts.get(id!) ?? { id: id!, quantities: [], price: prices.get(id!) ?? null }
    part.quantities.push(Number(quantity))
    parts.set(id!, part)
  }
  return [...parts.values()]
}

/** Held out: parts of which the FNV-1a hash of the id is odd. The others were looked at while the method was made. */
export function isHeldOut({ id }: { id: string }): boolean {
  let hash = 0x811c9dc5
  for (let at = 0; at < id.length; at++) hash = Math.imul(hash ^ id.charCodeAt(at), 0x01000193) >>> 0
  return hash % 2 === 1
}

/** y at the given x on straight lines between neighbours; null where the line never comes there. */
export function between(line: readonly { x: number; y: number }[], x: number): number | null {
  for (let at = 1; at < line.length; at++) {
    const [a, b] = [line[at - 1]!, line[at]!]
    if (a.x !== b.x && (a.x - x) * (b.x - x) <= 0) return a.y + ((b.y - a.y) * (x - a.x)) / (b.x - a.x)
  }
  return null
}
