import type { PageReading } from '../figure/reader/schema.ts'
import { counted } from '../measure/counted.ts'
import { lanesClose } from '../reading/lanes.ts'
import { pageReadFile } from '../reading/page-file.ts'
import { type Answer, EXIT } from './answer.ts'

export interface ReadPageOptions {
  page?: string
  json?: boolean
}

function cut(text: string, wide: number): string {
  return text.length <= wide ? text.padEnd(wide) : `${text.slice(0, wide - 1)}…`
}

function sure(confidence: number): string {
  return `${Math.round(confidence * 100)} %`.padStart(5)
}

/** The reading as a person would check it against the page: callouts, then the parts list, doubts behind each line. */
function readingText(file: string, page: number, reading: PageReading): string {
  const { width, height, kind, why, skewDegrees, callouts, rows } = reading
  const head = `${file}, page ${page}: ${Math.round(width)} x ${Math.round(height)} pixels${skewDegrees === 0 ? '' : `, skew ${skewDegrees} degrees taken out`}`
  if (kind === 'no-parts-page') return `${head}\nNo parts page. ${why}`
  const doubts = (list: readonly string[]) => (list.length === 0 ? '' : `  ? ${list.join(', ')}`)
  const drawn = callouts.map(
    (one) =>
      `  ${cut(one.item, 8)} ${cut(`${Math.round(one.x)}, ${Math.round(one.y)}`, 12)} ${cut(one.tips.length === 0 ? 'no leader' : `${Math.round(one.tipX)}, ${Math.round(one.tipY)}`, 12)} ${sure(one.confidence)}${doubts(one.doubts)}`,
  )
  const listed = rows.map(
    (row) =>
      `  ${cut(row.item, 8)} ${cut(row.partNumber, 24)} ${cut(row.description, 40)} ${cut(`${row.quantity ?? ''} ${row.quantityNote}`.trim(), 8)} ${sure(row.confidence)}${doubts(row.doubts)}`,
  )
  return [
    head,
    `${counted(callouts.length, 'callout')} (item, middle of the number, tip of its leader, sure):`,
    ...drawn,
    `${counted(rows.length, 'row')} of the parts list (item, part number, description, quantity, sure):`,
    ...listed,
  ].join('\n')
}

/**
 * `cotterbook read-page FILE`: reads one page and says what stands on it; nothing is kept and no database is needed. A page
 * that is no parts page is an answer too, with `kind` and `why`. Refuses as `pageReadFile`.
 */
export async function readPageCommand(file: string, page: number): Promise<Answer> {
  try {
    const { reading } = await pageReadFile(file, { page, picture: false })
    return { status: EXIT.fine, text: readingText(file, page, reading), json: reading }
  } finally {
    lanesClose()
  }
}

/** The page asked for, or null when the words are no page number. */
export function pageAsked(words: string | undefined): number | null {
  if (words === undefined) return 1
  return /^[1-9]\d{0,5}$/.test(words) ? Number(words) : null
}
