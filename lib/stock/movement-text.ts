import { stringify } from 'csv-stringify/sync'
import { quantityInput, type StockUnit } from '../measure/quantity.ts'
import type { ForWhat } from './for-what.ts'
import { MOVEMENT_KINDS, type MovementKind } from './movement.ts'

/** What a line of the exported ledger needs of a movement. */
export interface MovementText {
  id: number
  at: Date
  kind: MovementKind
  number: string
  description: string
  unit: StockUnit
  bin: string
  /** Signed minor units. */
  quantity: number
  balanceAfter: number
  person: string
  job: { number: number } | null
  order: { number: number } | null
  forWhat: ForWhat
  reason: string | null
  reversesId: number | null
}

const COLUMNS = [
  'movement',
  'at',
  'kind',
  'part_number',
  'description',
  'bin',
  'in',
  'out',
  'unit',
  'left_in_bin',
  'person',
  'job',
  'order',
  'machine',
  'cost_centre',
  'for_person',
  'reason',
  'reverses',
]

/**
 * Movements as CSV (RFC 4180), quantities in stock units with a point, instants in UTC (ISO 8601). A cell that a spreadsheet
 * would run as a formula gets an apostrophe in front.
 */
export function movementsCsv(movements: readonly MovementText[]): string {
  const rows = movements.map((one) => ({
    movement: one.id,
    at: one.at.toISOString(),
    kind: MOVEMENT_KINDS[one.kind].says,
    part_number: one.number,
    description: one.description,
    bin: one.bin,
    in: one.quantity > 0 ? quantityInput(one.quantity, one.unit) : '',
    out: one.quantity < 0 ? quantityInput(-one.quantity, one.unit) : '',
    unit: one.unit,
    left_in_bin: quantityInput(one.balanceAfter, one.unit),
    person: one.person,
    job: one.job?.number ?? '',
    order: one.order?.number ?? '',
    machine: one.forWhat.machine?.says ?? '',
    cost_centre: one.forWhat.costCentre ?? '',
    for_person: one.forWhat.person ?? '',
    reason: one.reason ?? '',
    reverses: one.reversesId ?? '',
  }))
  return stringify(rows, {
    header: true,
    columns: COLUMNS,
    bom: true,
    record_delimiter: 'windows',
    escape_formulas: true,
  })
}
