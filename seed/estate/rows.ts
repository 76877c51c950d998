import type { EntryContent } from '../../lib/job/service-book.ts'
import type { MovementRow, WriteRow } from './ledger.ts'
import type { Level } from './levels.ts'
import type { OrderLineRow, OrderRow } from './orders.ts'

export interface JobRow {
  id: number
  number: number
  machineId: number
  state: 'closed'
  kind: 'repair' | 'service'
  complaint: string
  cause: string
  correction: string
  hourTenths: number
  labourMinutes: number
  openedAt: Date
  openedById: string
  closedAt: Date
  closedById: string
}

export interface NeedRow {
  id: number
  jobId: number
  key: string
  origin: string
  kind: string
  partId: number | null
  item: string | null
  positions: string
  description: string
  strength: string
  suggested: number
  wanted: number
  taken: number
  allocated: number
  state: string
  declineReason: string | null
  reasons: string
  sort: number
  decidedById: string | null
  decidedAt: Date | null
}

export interface CheckRow {
  id: number
  jobId: number
  kind: string
  sort: number
  key: string
  text: string
  state: 'open' | 'done'
  note: null
  doneAt: Date | null
  doneById: string | null
}

export interface TargetRow {
  id: number
  jobId: number
  figureId: number
  lineId: number
  item: string
  positions: string
  quantity: number
}

export interface EntryRow {
  id: number
  machineId: number
  jobId: number | null
  writtenAt: Date
  personId: string
  personName: string
  hourTenths: number | null
  content: EntryContent
  correctsId: number | null
}

export interface ReadingRow {
  id: number
  machineId: number
  hourTenths: number
  at: Date
  personId: string
}

/** Three years of a workshop, ready to be written: every id given, every row in order of time. */
export interface History {
  jobs: JobRow[]
  targets: TargetRow[]
  needs: NeedRow[]
  checks: CheckRow[]
  entries: EntryRow[]
  readings: ReadingRow[]
  movements: MovementRow[]
  writes: WriteRow[]
  balances: { partId: number; binId: number; quantity: number }[]
  orders: OrderRow[]
  orderLines: OrderLineRow[]
  levels: ({ partId: number } & Level)[]
  /** Last cost of each part that was bought. */
  costs: Map<number, number>
}
