import type { KitChoice } from '../catalogue/kit-choice.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { positionsSay } from './need-rows.ts'

/** A line that a kit can stand in for. */
export interface KitLine {
  id: number
  partId: number
  positions: readonly string[]
  unit: StockUnit
}

const KIT_KEY = /^kit:(\d+):(\d+(?:\+\d+)*)$/

/** Key of a kit on a job: it names the kit and the lines it stands for, so that they can be taken singly again. */
export function kitKey(kitId: number, lineIds: readonly number[]): string {
  return `kit:${kitId}:${lineIds.join('+')}`
}

/** The lines a kit stands for; null when the key is not that of a kit. */
export function kitLineIds(key: string): number[] | null {
  const match = KIT_KEY.exec(key)
  return match ? match[2]!.split('+').map(Number) : null
}

/** What of the kits goes onto the machine and what is left over, as the service book keeps it. */
export function kitUseSays(choice: Pick<KitChoice, 'covers' | 'over'>, lines: readonly KitLine[]): string {
  const unitOf = new Map(lines.map((line) => [line.partId, line.unit]))
  const says = ({ partId, number, description, quantity }: KitChoice['covers'][number]) =>
    `${quantityFormat(quantity, unitOf.get(partId) ?? 'each')} x ${number} ${description}`
  const fitted = choice.covers.map((one) => {
    const places = [...new Set(lines.filter((line) => line.partId === one.partId).flatMap((line) => line.positions))]
    return `${says(one)}${places.length > 0 ? ` (${positionsSay(places)})` : ''}`
  })
  const over = choice.over.length > 0 ? `; left over: ${choice.over.map(says).join(', ')}` : ''
  return `of it fitted: ${fitted.join(', ')}${over}`
}
