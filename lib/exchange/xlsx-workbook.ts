import { type XmlHands, xmlWalker } from './read-xml.ts'
import { unreadable } from './table.ts'
import type { Zip } from './zip.ts'

export interface Workbook {
  /** Name in the archive of the first sheet that is not hidden. */
  sheet: string
  /** Numbers of the cell formats that show a date or a time. */
  dateStyles: ReadonlySet<number>
  from1904: boolean
  /** Texts that cells name by number. */
  shared: readonly string[]
}

const SHARED_LETTERS_MAX = 150_000_000

/** Signs that XML cannot hold are written _x0007_ in spreadsheets (ECMA-376 part 1, ST_Xstring). */
export function xmlText(text: string): string {
  return text.includes('_x')
    ? text.replace(/_x([0-9A-Fa-f]{4})_/g, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)))
    : text
}

async function walk(zip: Zip, name: string, file: string, hands: XmlHands): Promise<void> {
  const walker = xmlWalker(file, hands)
  const decoder = new TextDecoder()
  for await (const piece of zip.pieces(name)) walker.write(decoder.decode(piece, { stream: true }))
  walker.write(decoder.decode())
  walker.end()
}

/** Built-in formats that show a date or a time (ECMA-376 part 1, 18.8.30). */
const DATE_FORMATS = new Set([14, 15, 16, 17, 18, 19, 20, 21, 22, 45, 46, 47])

/** A format of one's own shows a date when it names days, months, years or hours outside quotes and brackets. */
export function formatShowsDate(code: string): boolean {
  return /[dmyhs]/i.test(code.replace(/"[^"]*"|\\.|\[[^\]]*\]|_.|\*./g, '').replace(/general/gi, ''))
}

async function dateStylesRead(zip: Zip, name: string, file: string): Promise<Set<number>> {
  const own = new Set<number>()
  const styles = new Set<number>()
  let [inCells, at] = [false, 0]
  if (!zip.names.has(name)) return styles
  await walk(zip, name, file, {
    open: (tag, attributes) => {
      if (tag === 'numFmt' && formatShowsDate(attributes.formatCode ?? '')) own.add(Number(attributes.numFmtId))
      else if (tag === 'cellXfs') inCells = true
      else if (tag === 'xf' && inCells) {
        const format = Number(attributes.numFmtId ?? 0)
        if (DATE_FORMATS.has(format) || own.has(format)) styles.add(at)
        at += 1
      }
    },
    close: (tag) => {
      if (tag === 'cellXfs') inCells = false
    },
  })
  return styles
}

async function sharedRead(zip: Zip, name: string, file: string): Promise<string[]> {
  const shared: string[] = []
  if (!zip.names.has(name)) return shared
  let [text, taking, phonetic, letters] = ['', false, false, 0]
  await walk(zip, name, file, {
    open: (tag) => {
      if (tag === 'si') text = ''
      else if (tag === 'rPh') phonetic = true
      else if (tag === 't') taking = !phonetic
    },
    text: (piece) => {
      if (!taking) return
      text += piece
      letters += piece.length
      if (letters > SHARED_LETTERS_MAX) throw unreadable(file, 'it holds too much text')
    },
    close: (tag) => {
      if (tag === 't') taking = false
      else if (tag === 'rPh') phonetic = false
      else if (tag === 'si') shared.push(xmlText(text))
    },
  })
  return shared
}

/** A target as the archive names it; targets are given from the folder of the part that names them, or from the root. */
function inArchive(folder: string, target: string): string {
  const steps = target.startsWith('/') ? [] : folder.split('/').filter(Boolean)
  for (const step of target.split('/')) {
    if (step === '..') steps.pop()
    else if (step !== '.' && step !== '') steps.push(step)
  }
  return steps.join('/')
}

interface Relation {
  type: string
  target: string
}

async function relations(zip: Zip, folder: string, name: string, file: string): Promise<Map<string, Relation>> {
  const found = new Map<string, Relation>()
  const path = `${folder}_rels/${name}.rels`
  if (!zip.names.has(path)) return found
  await walk(zip, path, file, {
    open: (tag, { Id = '', Type = '', Target = '', TargetMode }) => {
      // What lies outside the archive is never asked for.
      if (tag === 'Relationship' && TargetMode !== 'External')
        found.set(Id, { type: Type.slice(Type.lastIndexOf('/') + 1), target: inArchive(folder, Target) })
    },
  })
  return found
}

function archiveFault(names: ReadonlySet<string>): string {
  if (names.has('mimetype')) return 'it is an OpenDocument file; save it as XLSX or CSV'
  if (names.has('word/document.xml')) return 'it is a text document, not a spreadsheet; save the table as XLSX or CSV'
  if ([...names].some((name) => name.endsWith('.bin') && name.startsWith('xl/')))
    return 'it is a binary spreadsheet; save it as XLSX or CSV'
  return 'it is an archive, but no spreadsheet; save the table as XLSX or CSV'
}

/** What must be known before the first cell is read. Refuses with 'exchange/unreadable'. */
export async function workbookRead(zip: Zip, file: string): Promise<Workbook> {
  const root = await relations(zip, '', '', file)
  const main = [...root.values()].find((one) => one.type === 'officeDocument')?.target ?? 'xl/workbook.xml'
  if (!zip.names.has(main) || main.endsWith('.bin')) throw unreadable(file, archiveFault(zip.names))
  const folder = main.slice(0, main.lastIndexOf('/') + 1)
  const parts = await relations(zip, folder, main.slice(folder.length), file)
  const sheets: string[] = []
  let from1904 = false
  await walk(zip, main, file, {
    open: (tag, attributes) => {
      if (tag === 'workbookPr') from1904 = attributes.date1904 === '1' || attributes.date1904 === 'true'
      if (tag !== 'sheet' || (attributes.state ?? 'visible') !== 'visible') return
      const id = Object.entries(attributes).find(([key]) => key === 'id' || key.endsWith(':id'))?.[1]
      const part = id === undefined ? undefined : parts.get(id)
      if (part?.type === 'worksheet') sheets.push(part.target)
    },
  })
  const sheet = sheets.find((name) => zip.names.has(name))
  if (sheet === undefined) throw unreadable(file, 'it has no sheet that can be seen')
  const target = (type: string) => [...parts.values()].find((one) => one.type === type)?.target ?? ''
  return {
    sheet,
    from1904,
    dateStyles: await dateStylesRead(zip, target('styles'), file),
    shared: await sharedRead(zip, target('sharedStrings'), file),
  }
}
