/** A PDF by the letter of ISO 32000-1, 7.5: header, objects, cross-reference table, trailer. */
function pdfOf(objects: readonly string[], trailer: string): Buffer {
  let text = '%PDF-1.4\n'
  const offsets: number[] = []
  for (const [at, object] of objects.entries()) {
    offsets.push(text.length)
    text += `${at + 1} 0 obj\n${object}\nendobj\n`
  }
  const start = text.length
  const entries = offsets.map((offset) => `${String(offset).padStart(10, '0')} 00000 n \n`).join('')
  text += `xref\n0 ${objects.length + 1}\n0000000000 65535 f \n${entries}`
  text += `trailer\n<< /Size ${objects.length + 1} /Root 1 0 R ${trailer} >>\nstartxref\n${start}\n%%EOF\n`
  return Buffer.from(text, 'latin1')
}

export interface MadePdf {
  /** Content stream of each page, in points from the lower left corner of a sheet of A4 lying. */
  pages: readonly string[]
  /** More entries for the catalogue, such as an action that would run when the file is opened. */
  catalogue?: string
  trailer?: string
}

export const SHEET = { wide: 842, high: 595 }

export function madePdf({ pages, catalogue = '', trailer = '' }: MadePdf): Buffer {
  const kids = pages.map((_, at) => `${4 + 2 * at} 0 R`).join(' ')
  const objects = [
    `<< /Type /Catalog /Pages 2 0 R ${catalogue} >>`,
    `<< /Type /Pages /Count ${pages.length} /Kids [${kids}] >>`,
    '<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>',
    ...pages.flatMap((content, at) => [
      `<< /Type /Page /Parent 2 0 R /MediaBox [0 0 ${SHEET.wide} ${SHEET.high}] /Resources << /Font << /F 3 0 R >> >> /Contents ${5 + 2 * at} 0 R >>`,
      `<< /Length ${content.length} >>\nstream\n${content}\nendstream`,
    ]),
  ]
  return pdfOf(objects, trailer)
}

/** Text with its baseline beginning at x, y. */
export function text(x: number, y: number, words: string, size = 10): string {
  return `BT /F ${size} Tf ${x} ${y} Td (${words}) Tj ET\n`
}

export function line(x1: number, y1: number, x2: number, y2: number): string {
  return `${x1} ${y1} m ${x2} ${y2} l S\n`
}

/** A ring as four Bezier curves. */
function ring(x: number, y: number, r: number): string {
  const k = 0.5523 * r
  return `${x + r} ${y} m ${x + r} ${y + k} ${x + k} ${y + r} ${x} ${y + r} c ${x - k} ${y + r} ${x - r} ${y + k} ${x - r} ${y} c ${x - r} ${y - k} ${x - k} ${y - r} ${x} ${y - r} c ${x + k} ${y - r} ${x + r} ${y - k} ${x + r} ${y} c S\n`
}

export interface PartsRow {
  item: string
  partNumber: string
  description: string
  quantity: string
}

export const ROWS: readonly PartsRow[] = [
  { item: '1', partNumber: 'QB-4410', description: 'Hub, braked', quantity: '1' },
  { item: '2', partNumber: 'QB-4412', description: 'Bearing, inner', quantity: '2' },
  { item: '3', partNumber: 'QB-4413', description: 'Castle nut M24', quantity: '1' },
  { item: '4', partNumber: 'QB-0932', description: 'Split pin 5 x 50', quantity: '1' },
]

/** One parts-book page: a box as the part, balloons with leader lines, and a ruled list with heads on top. */
export function partsPage(rows: readonly PartsRow[] = ROWS): string {
  let content = '1 w\n200 380 200 120 re S\n0.5 w\n'
  for (const [at, { item }] of rows.entries()) {
    const x = 150 + 90 * at
    content += ring(x, 545, 12) + text(x - 2.8, 541.4, item) + line(x, 533, 220 + 50 * at, 480)
  }
  const walls = [60, 110, 220, 480, 540]
  const top = 250
  const tall = 20
  const cells = [
    ['Item', 'Part No.', 'Description', 'Qty'],
    ...rows.map((row) => [row.item, row.partNumber, row.description, row.quantity]),
  ]
  for (const [n, row] of cells.entries())
    for (const [at, words] of row.entries()) content += text(walls[at]! + 5, top - tall * n - 14, words)
  for (const wall of walls) content += line(wall, top, wall, top - tall * cells.length)
  for (let n = 0; n <= cells.length; n++) content += line(walls[0]!, top - tall * n, walls.at(-1)!, top - tall * n)
  return content
}
