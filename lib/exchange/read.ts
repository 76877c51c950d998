import { csvRows } from './read-csv.ts'
import { jsonRows } from './read-json.ts'
import { xlsxRows } from './read-xlsx.ts'
import { FILE_MEGABYTES_MAX, rowsCheck, type TableFormat, type TableRow, unreadable } from './table.ts'

const OLD_SPREADSHEET = 'it is a spreadsheet of the old kind, or one locked with a password; save it as XLSX or CSV'
const PICTURE = 'it is a picture, not a table'
const PACKED = 'it is packed; unpack it first'

/** First bytes, as Latin-1 text, of what people take for a table. */
const NO_TABLES: readonly (readonly [start: string, why: string])[] = [
  ['\xd0\xcf\x11\xe0', OLD_SPREADSHEET],
  ['%PDF', 'it is a PDF; take the table out as CSV or XLSX'],
  ['\x89PNG', PICTURE],
  ['\xff\xd8\xff', PICTURE],
  ['GIF8', PICTURE],
  ['II*\0', PICTURE],
  ['MM\0*', PICTURE],
  ['\x1f\x8b', PACKED],
  ['7z\xbc\xaf', PACKED],
  ['Rar!', PACKED],
]
const ZIP_STARTS = ['PK\x03\x04', 'PK\x05\x06', 'PK\x07\x08']

/** What a file is, by its content and never by its name. Refuses what is no table with the way to make one of it. */
export function tableFormat(bytes: Uint8Array, file: string): TableFormat {
  if (bytes.length === 0) throw unreadable(file, 'it is empty')
  if (bytes.length > FILE_MEGABYTES_MAX * 1e6) throw unreadable(file, `it has more than ${FILE_MEGABYTES_MAX} MB`)
  const head = Buffer.from(bytes.subarray(0, 600)).toString('latin1')
  if (ZIP_STARTS.some((start) => head.startsWith(start))) return 'xlsx'
  const known = NO_TABLES.find(([start]) => head.startsWith(start))
  if (known) throw unreadable(file, known[1])
  const start = head.replace(/^\xef\xbb\xbf/, '').trimStart()
  if (/^<(!doctype\s+html|html|table|head|body|meta|div|script)\b/i.test(start))
    throw unreadable(file, 'it is a web page, whatever its name says; open it and save the table as CSV or XLSX')
  if (start.startsWith('<'))
    throw unreadable(file, 'it is XML, not a table; S1000D data modules go through `cotterbook import s1000d`')
  if (/^(\[\s*[{\]]|\{\s*["}])/.test(start)) return 'json'
  return 'csv'
}

/** The rows of a file, header first, read as they are asked for. */
export async function* tableRows(bytes: Uint8Array, file: string): AsyncGenerator<TableRow> {
  const format = tableFormat(bytes, file)
  const rows =
    format === 'xlsx' ? xlsxRows(bytes, file) : format === 'json' ? jsonRows(bytes, file) : csvRows(bytes, file)
  let count = -1
  for await (const row of rows) {
    count += 1
    rowsCheck(file, count)
    if (format === 'csv' || row.cells.some((cell) => cell.trim() !== '')) yield row
  }
}
