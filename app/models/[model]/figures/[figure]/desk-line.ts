import type { StockUnit } from '@/lib/measure/quantity.ts'
import type { FittedSays } from './fitted-says.ts'

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
  /** What lies there, where some of it is kept for jobs; nothing where all of it is free. */
  handSays: string
  /** What the service book says was fitted here, newest first. */
  fitted: FittedSays[]
}
