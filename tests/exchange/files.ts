import { tableRows } from '../../lib/exchange/read.ts'
import { zipBytes } from '../../lib/exchange/zip-write.ts'

export const bytes = (text: string) => new TextEncoder().encode(text)

/** UTF-16 with or without its mark. */
export function utf16(text: string, end: 'le' | 'be', mark = true): Uint8Array {
  const little = Buffer.from(mark ? `\ufeff${text}` : text, 'utf16le')
  return new Uint8Array(end === 'le' ? little : little.swap16())
}

export async function collected(pieces: AsyncIterable<Uint8Array>): Promise<Uint8Array> {
  const all: Uint8Array[] = []
  for await (const piece of pieces) all.push(piece)
  return new Uint8Array(Buffer.concat(all))
}

/** An archive with these texts; written by the project's own writer, which the zip tests hold against another program. */
export function zipOf(parts: Record<string, string>): Promise<Uint8Array> {
  return collected(zipBytes(Object.entries(parts).map(([name, text]) => ({ name, text: [text] }))))
}

const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main'
const RELATIONS = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'

/** A spreadsheet of one sheet from the inside of its sheetData; the other parts as small as they may be. */
export function xlsxOf(sheetData: string, more: Record<string, string> = {}): Promise<Uint8Array> {
  return zipOf({
    'xl/workbook.xml': `<workbook xmlns="${MAIN}" xmlns:r="${RELATIONS}"><sheets><sheet name="A" sheetId="1" r:id="rId1"/></sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': `<Relationships><Relationship Id="rId1" Type="${RELATIONS}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="${RELATIONS}/sharedStrings" Target="sharedStrings.xml"/><Relationship Id="rId3" Type="${RELATIONS}/styles" Target="/xl/styles.xml"/></Relationships>`,
    'xl/worksheets/sheet1.xml': `<worksheet xmlns="${MAIN}"><sheetData>${sheetData}</sheetData></worksheet>`,
    ...more,
  })
}

/** Every row of a file as its cells. */
export async function cellsOf(file: Uint8Array, name = 'list'): Promise<string[][]> {
  const rows: string[][] = []
  for await (const row of tableRows(file, name)) rows.push(row.cells)
  return rows
}

/** The sentence of the refusal that the file meets. */
export async function refusalOf(file: Uint8Array): Promise<string> {
  try {
    await cellsOf(file)
  } catch (error) {
    if (error instanceof Error && error.name === 'Refusal') return error.message
    throw error
  }
  return 'read'
}
