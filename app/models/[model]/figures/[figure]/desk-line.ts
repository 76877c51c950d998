import type { ReactNode } from 'react'
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
  /** Ends of its shaft that can be chosen. */
  ends: string[]
  indenture: number
  notes: string[]
  stockShape: string
  stockWords: string
  stockState: string
  bins: string[]
  /** What lies there, where some of it is kept for jobs; nothing where all of it is free. */
  handSays: string
  /** What was last fitted here, for the list and for the card; made on the server, so that no phone waits for the script of it. */
  fittedRow: ReactNode
  fittedCard: ReactNode
}
