import { z } from 'zod'
import type { FigureFileInput } from '../figure/schema.ts'
import { Refusal } from '../refusal.ts'

/**
 * A page that was read and checked by hand: `truth.json` beside `page.png`. Only what a parts book needs is looked at; the
 * rest (distractors, difficulty, text boxes) belongs to the measuring of page readers.
 */
const Point = z.tuple([z.number(), z.number()])
const Truth = z.object({
  figure: z.string().min(1),
  title: z.string().min(1),
  machine: z.string().min(1),
  image: z.object({ file: z.string().min(1), width: z.number().positive(), height: z.number().positive() }),
  callouts: z.array(z.object({ number: z.string(), x: z.number(), y: z.number(), leader_ends: z.array(Point) })),
  parts_list: z.object({
    /** 'bottom': the header stands below, the list reads upwards. */
    header_position: z.enum(['top', 'bottom', 'none']).default('top'),
    fields: z.array(z.string()),
    rows: z.array(
      z.object({
        item: z.string(),
        part_number: z.string().optional(),
        description: z.string().optional(),
        quantity: z.string().optional(),
        material: z.string().optional(),
      }),
    ),
  }),
})
type Truth = z.infer<typeof Truth>
type Row = Truth['parts_list']['rows'][number]

export interface FigureTruthOptions {
  /** The page rarely says who makes the machine. */
  maker?: string
  /** In place of what the page says the machine is. */
  model?: string
  /** Text of SOURCE.md: author, licence and where the page comes from. */
  source?: string
}

export const MAKER_UNKNOWN = 'unknown maker'
const NUMBER_MAX = 20

/** True for what `figureFromTruth` reads, so that a folder may hold either kind of file. */
export function isFigureTruth(json: unknown): boolean {
  return typeof json === 'object' && json !== null && 'parts_list' in json && 'image' in json
}

/**
 * Reshapes a page read by hand into a figure file. Rows come in reading order, whichever way the list reads; a number printed
 * twice is two callouts of one item; a row without a quantity counts one and keeps what is printed instead. Refuses with
 * 'import/unreadable' when it is not such a page.
 */
export function figureFromTruth(
  json: unknown,
  options: FigureTruthOptions = {},
): { file: FigureFileInput; warnings: string[] } {
  const read = Truth.safeParse(json)
  if (!read.success) {
    const why = read.error.issues.map((issue) => `${issue.path.map(String).join('.')}: ${issue.message}`).join('; ')
    throw new Refusal('import/unreadable', { file: 'truth.json', why })
  }
  const truth = read.data
  const warnings: string[] = []
  const number = shortNumber(truth.figure)
  if (number !== truth.figure) warnings.push(`figure ${truth.figure} is entered under the shorter number ${number}`)
  const { rows, fields, header_position } = truth.parts_list
  if (fields.includes('part_number') && !fields.includes('description'))
    warnings.push('number and name share a column on this page: both are kept as printed')
  const ordered = header_position === 'bottom' ? rows.toReversed() : rows
  const items = new Set(rows.map((row) => row.item))
  const credit = creditOf(options.source)
  const file: FigureFileInput = {
    format: 'cotterbook-figure',
    version: 1,
    title: truth.title,
    number,
    model: { maker: options.maker ?? MAKER_UNKNOWN, name: options.model ?? truth.machine, kind: truth.machine },
    picture: truth.image,
    callouts: truth.callouts.map(({ number: item, x, y, leader_ends }) => ({
      item,
      x,
      y,
      tips: leader_ends.map(([tipX, tipY]) => ({ x: tipX, y: tipY })),
    })),
    lines: ordered.map((row) => lineOf(row, items)),
    ...(credit === undefined ? {} : { credit }),
  }
  return { file, warnings }
}

function lineOf(row: Row, items: ReadonlySet<string>): FigureFileInput['lines'][number] {
  const partNumber = row.part_number?.trim()
  const material = row.material?.trim()
  return {
    item: row.item,
    ...(partNumber ? { partNumber } : {}),
    description: row.description?.trim() || partNumber || `Item ${row.item}`,
    ...quantityOf(row.quantity),
    indenture: indentureOf(row.item, items),
    // A dash is what the draughtsman prints for "see its own list".
    ...(material && material !== '-' ? { note: material } : {}),
  }
}

function quantityOf(printed: string | undefined): { quantity: number; quantityNote?: string } {
  const text = printed?.trim() ?? ''
  if (text === '') return { quantity: 1, quantityNote: 'not printed' }
  const quantity = /^\d{1,5}(?:[.,]\d{1,3})?$/.test(text) ? Number(text.replace(',', '.')) : 0
  return quantity > 0 ? { quantity } : { quantity: 1, quantityNote: text.slice(0, 20) }
}

/** 1.2 is a part of 1 when the list has a row 1. */
function indentureOf(item: string, items: ReadonlySet<string>): number {
  const parent = item.slice(0, Math.max(0, item.lastIndexOf('.')))
  return parent !== '' && items.has(parent) ? indentureOf(parent, items) + 1 : 1
}

/** Leading words become their first letter until the number fits its column: bcn3dr-extruder-step-1 is b-extruder-step-1. */
function shortNumber(figure: string): string {
  const words = figure.split('-')
  for (let at = 0; at < words.length - 1 && words.join('-').length > NUMBER_MAX; at++)
    words[at] = words[at]!.slice(0, 1)
  return words.join('-').slice(0, NUMBER_MAX)
}

/** Author, licence and repository in one line, as the licences ask for them wherever the drawing is shown. */
function creditOf(source: string | undefined): string | undefined {
  if (source === undefined) return undefined
  const said = (label: string) => new RegExp(`^[-*]\\s*${label}:\\s*(.+)$`, 'im').exec(source)?.[1]?.trim()
  const licence = said('Licen[cs]e')?.replace(/\s*\(.*\)\s*$/, '')
  const credit = [said('Author'), licence, said('Repository')].filter((text) => text !== undefined).join('; ')
  return credit === '' ? undefined : credit.slice(0, 400)
}
