import { zipBytes } from './zip-write.ts'

/** A cell that is a number keeps its decimal text; everything else is text and stays text, so that 0012 survives. */
export interface XlsxColumn {
  name: string
  numeric: boolean
}

const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main'
const RELATIONS = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'
const PACKAGE = 'http://schemas.openxmlformats.org/package/2006'
const START = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'

const TYPES = `${START}<Types xmlns="${PACKAGE}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/><Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/></Types>`
const ROOT_RELATIONS = `${START}<Relationships xmlns="${PACKAGE}/relationships"><Relationship Id="rId1" Type="${RELATIONS}/officeDocument" Target="xl/workbook.xml"/></Relationships>`
const BOOK_RELATIONS = `${START}<Relationships xmlns="${PACKAGE}/relationships"><Relationship Id="rId1" Type="${RELATIONS}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="${RELATIONS}/styles" Target="styles.xml"/></Relationships>`
// Format 49 is text: what a person types into such a cell is not turned into a number or a date. The second is bold, for the header.
const STYLES = `${START}<styleSheet xmlns="${MAIN}"><fonts count="2"><font><sz val="11"/><name val="Calibri"/></font><font><b/><sz val="11"/><name val="Calibri"/></font></fonts><fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills><borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders><cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs><cellXfs count="3"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/><xf numFmtId="49" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/><xf numFmtId="49" fontId="1" fillId="0" borderId="0" xfId="0" applyNumberFormat="1" applyFont="1"/></cellXfs></styleSheet>`
const [TEXT_STYLE, HEADER_STYLE] = [1, 2]

/** Text as a spreadsheet keeps it: signs that XML cannot hold or would change are written _x000D_ (ECMA-376, ST_Xstring). */
export function xlsxText(text: string): string {
  return text
    .replace(/_(?=x[0-9A-Fa-f]{4}_)/g, '_x005F_')
    .replace(
      /[^\P{Cc}\t\n]|[\uFFFE\uFFFF]/gu,
      (sign) => `_x${sign.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}_`,
    )
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
}

function textCell(text: string, style: number): string {
  return `<c s="${style}" t="inlineStr"><is><t xml:space="preserve">${xlsxText(text)}</t></is></c>`
}

/** Letters of a column: 0 is A, 27 is AB. */
function letters(place: number): string {
  let [rest, name] = [place + 1, '']
  while (rest > 0) {
    name = String.fromCharCode(65 + ((rest - 1) % 26)) + name
    rest = Math.floor((rest - 1) / 26)
  }
  return name
}

async function* sheet(columns: readonly XlsxColumn[], rows: AsyncIterable<readonly string[]>): AsyncGenerator<string> {
  const frozen =
    '<sheetViews><sheetView workbookViewId="0"><pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>'
  const text = columns.map(
    ({ numeric }, at) =>
      `<col min="${at + 1}" max="${at + 1}" width="18" style="${numeric ? 0 : TEXT_STYLE}" customWidth="1"/>`,
  )
  yield `${START}<worksheet xmlns="${MAIN}">${frozen}<cols>${text.join('')}</cols><sheetData>`
  yield `<row r="1">${columns.map(({ name }) => textCell(name, HEADER_STYLE)).join('')}</row>`
  const names = columns.map((_, at) => letters(at))
  let number = 1
  let piece = ''
  for await (const cells of rows) {
    number += 1
    piece += `<row r="${number}">`
    for (const [at, cell] of cells.entries()) {
      if (cell === '') continue
      const reference = `r="${names[at]}${number}"`
      piece += columns[at]!.numeric
        ? `<c ${reference}><v>${cell}</v></c>`
        : textCell(cell, TEXT_STYLE).replace('<c ', `<c ${reference} `)
    }
    piece += '</row>'
    if (piece.length < 64_000) continue
    yield piece
    piece = ''
  }
  yield `${piece}</sheetData></worksheet>`
}

/** A spreadsheet of one sheet, made while its rows are read: what is held in memory is the packed sheet. */
export function xlsxBytes(
  title: string,
  columns: readonly XlsxColumn[],
  rows: AsyncIterable<readonly string[]>,
): AsyncGenerator<Uint8Array> {
  const book = `${START}<workbook xmlns="${MAIN}" xmlns:r="${RELATIONS}"><sheets><sheet name="${xlsxText(title)}" sheetId="1" r:id="rId1"/></sheets></workbook>`
  return zipBytes([
    { name: '[Content_Types].xml', text: [TYPES] },
    { name: '_rels/.rels', text: [ROOT_RELATIONS] },
    { name: 'xl/workbook.xml', text: [book] },
    { name: 'xl/_rels/workbook.xml.rels', text: [BOOK_RELATIONS] },
    { name: 'xl/styles.xml', text: [STYLES] },
    { name: 'xl/worksheets/sheet1.xml', text: sheet(columns, rows) },
  ])
}
