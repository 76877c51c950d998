import { stringify } from 'csv-stringify/sync'
import { quantityInput, type StockUnit } from '../measure/quantity.ts'
import { type EntryContent, fittedSays } from './service-book.ts'

export interface BookTextEntry {
  writtenAt: Date
  person: string
  hourTenths: number | null
  correctsId: number | null
  id: number
  content: EntryContent
}

const COLUMNS = [
  'entry',
  'written_at',
  'written_by',
  'machine',
  'model',
  'serial_number',
  'hours',
  'job',
  'kind',
  'complaint',
  'cause',
  'correction',
  'corrects_entry',
  'labour_minutes',
  'figure',
  'item',
  'positions',
  'part_number',
  'maker',
  'description',
  'quantity',
  'unit',
  'cost',
  'currency',
] as const

/**
 * The service book as CSV (RFC 4180, UTF-8 with a byte order mark): one row for each part that was fitted, and one row without a
 * part for an entry that fitted none. `labour_minutes` stands in the first row of an entry only, so that a sum is right.
 * Instants by ISO 8601 in UTC, hours and quantities with a decimal point, money in whole units. A text that a spreadsheet
 * would run as a formula gets an apostrophe in front.
 */
export function serviceBookCsv(entries: readonly BookTextEntry[]): string {
  const rows = entries.flatMap((entry) => {
    const { content } = entry
    const head = {
      entry: String(entry.id),
      written_at: entry.writtenAt.toISOString(),
      written_by: entry.person,
      machine: `${content.machine.fleetNumber} ${content.machine.name}`,
      model: content.machine.model,
      serial_number: content.machine.serialNumber ?? '',
      hours: entry.hourTenths === null ? '' : (entry.hourTenths / 10).toFixed(1),
      job: content.job ? String(content.job.number) : '',
      kind: content.job?.kind ?? 'correction',
      complaint: content.complaint,
      cause: content.cause,
      correction: content.correction,
      corrects_entry: entry.correctsId === null ? '' : String(entry.correctsId),
    }
    const first = { ...head, labour_minutes: String(content.labourMinutes) }
    if (content.fitted.length === 0) return [first]
    return content.fitted.map((line, at) => ({
      ...(at === 0 ? first : { ...head, labour_minutes: '' }),
      figure: line.figure ?? '',
      item: line.item ?? '',
      positions: line.positions.join(' '),
      part_number: line.partNumber,
      maker: line.maker,
      description: fittedSays(line),
      quantity: quantityInput(line.quantity, line.unit as StockUnit),
      unit: line.unit,
      cost: (line.costMinor / 100).toFixed(2),
      currency: content.currency,
    }))
  })
  return stringify(rows, {
    header: true,
    columns: [...COLUMNS],
    bom: true,
    escape_formulas: true,
    record_delimiter: 'windows',
  })
}
