import { xmlWalker } from './read-xml.ts'
import { columnsCheck, decimalText, type TableRow, unreadable } from './table.ts'
import { workbookRead, xmlText } from './xlsx-workbook.ts'
import { type Zip, zipOpen } from './zip.ts'

/** Column letters to a place: A is 0, AB is 27. Null when they are none. */
function columnPlace(reference: string | undefined): number | null {
  const letters = /^([A-Z]{1,3})\d*$/.exec(reference ?? '')?.[1]
  if (letters === undefined) return null
  let place = 0
  for (const letter of letters) place = place * 26 + letter.charCodeAt(0) - 64
  return place - 1
}

const MINUTE_MS = 60_000

/** A spreadsheet's day number as ISO 8601, to the minute; the date alone when there is no time of day. */
export function serialDate(serial: number, from1904: boolean): string {
  // The 1900 system counts a 29 February 1900 that never was: days from 1 March 1900 on are one too many.
  const days = from1904 ? serial : serial < 60 ? serial + 1 : serial
  const start = from1904 ? Date.UTC(1904, 0, 1) : Date.UTC(1899, 11, 30)
  const at = start + Math.round((days * 86_400_000) / MINUTE_MS) * MINUTE_MS
  if (!Number.isFinite(at) || Math.abs(at) > 8.64e15) return String(serial)
  const iso = new Date(at).toISOString()
  return iso.endsWith('T00:00:00.000Z') ? iso.slice(0, 10) : iso.slice(0, 16)
}

interface Cell {
  place: number
  type: string
  style: number
  text: string
}

/**
 * Rows of the first sheet that is not hidden, streamed from the archive: shared and inline text, numbers, dates, truth values
 * and the last results of formulas (formulas are never worked out). Rows without content are passed over.
 * Refuses with 'exchange/unreadable': a damaged or dangerous archive, XML that is not whole, no sheet.
 */
export async function* xlsxRows(bytes: Uint8Array, file: string): AsyncGenerator<TableRow> {
  const zip = await zipOpen(bytes, file)
  try {
    yield* sheetRows(zip, file)
  } finally {
    zip.close()
  }
}

async function* sheetRows(zip: Zip, file: string): AsyncGenerator<TableRow> {
  const { sheet, dateStyles, from1904, shared } = await workbookRead(zip, file)
  const ready: TableRow[] = []
  let row: (TableRow & { dates: number[]; errors: number[] }) | null = null
  let cell: Cell | null = null
  let [number, taking, phonetic] = [0, false, false]
  const put = ({ place, type, style, text }: Cell) => {
    if (!row || text === '') return
    columnsCheck(file, place + 1)
    while (row.cells.length < place) row.cells.push('')
    row.cells[place] = cellText(type, text)
    if (type === 'e') row.errors.push(place)
    if (type === 'd') row.dates.push(place)
    if (type === 'n' && dateStyles.has(style) && Number.isFinite(Number(text))) {
      row.cells[place] = serialDate(Number(text), from1904)
      row.dates.push(place)
    }
  }
  const cellText = (type: string, text: string): string => {
    if (type === 's') {
      const found = /^\d+$/.test(text) ? shared[Number(text)] : undefined
      if (found === undefined) throw unreadable(file, 'a cell names a text that the file does not have')
      return found
    }
    if (type === 'b') return text === '1' ? 'yes' : 'no'
    if (type === 'n') return Number.isFinite(Number(text)) ? decimalText(Number(text)) : text
    return xmlText(text)
  }
  const walker = xmlWalker(file, {
    open: (name, attributes) => {
      if (name === 'row') {
        number = /^\d{1,7}$/.test(attributes.r ?? '') ? Number(attributes.r) : number + 1
        row = { row: number, cells: [], dates: [], errors: [] }
      } else if (name === 'c' && row) {
        const place = columnPlace(attributes.r) ?? row.cells.length
        cell = { place, type: attributes.t ?? 'n', style: Number(attributes.s ?? 0), text: '' }
      } else if (name === 'rPh') phonetic = true
      else if (name === 'v' || name === 't') taking = cell !== null && !phonetic
    },
    text: (text) => {
      if (taking && cell) cell.text += text
    },
    close: (name) => {
      if (name === 'v' || name === 't') taking = false
      else if (name === 'rPh') phonetic = false
      else if (name === 'c' && cell) {
        put(cell)
        cell = null
      } else if (name === 'row' && row) {
        if (row.cells.some((one) => one !== '')) ready.push(row)
        row = null
      }
    },
  })
  const decoder = new TextDecoder()
  for await (const piece of zip.pieces(sheet)) {
    walker.write(decoder.decode(piece, { stream: true }))
    yield* ready.splice(0)
  }
  walker.write(decoder.decode())
  walker.end()
  yield* ready.splice(0)
}
