import type { StockUnit } from '@/lib/measure/quantity.ts'

/** A parts list line as the figure's screen shows it: numbers are words by now. */
export interface DeskLine {
  lineId: number
  item: string
  partId: number
  partNumber: string
  description: string
  /** Per assembly, minor units. */
  quantity: number
  quantitySays: string
  unit: StockUnit
  stations: number | null
  indenture: number
  notes: string[]
  stockShape: string
  stockWords: string
  stockState: string
  bins: string[]
  /** Nothing when the shelf is empty, else what is free to take. */
  freeSays: string
}
