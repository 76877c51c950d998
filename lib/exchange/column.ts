import { z } from 'zod'
import { moneyParse } from '../measure/money.ts'

/** How the cells of a column are read and written. */
export type ColumnType = 'text' | 'date' | 'identifier' | 'quantity' | 'money' | 'number' | 'choice' | 'yes-no'

/**
 * One column of a file that is brought in or taken out. Cells arrive as text, trimmed and not empty; numbers with a decimal
 * point, whatever the file used (`decimalsNormal`).
 */
export interface Column<T = unknown> {
  type: ColumnType
  /** What it holds, for docs/columns.md and the matching screen. */
  says: string
  /** Other headers under which it is known, UK and US; compared without case, spaces and signs. */
  words: readonly string[]
  required: boolean
  read: z.ZodType<T>
}

type Reading<T> = Omit<Column<T>, 'required' | 'words'>

/** A column that must be there and filled in every row. */
export function required<T>(reading: Reading<T>, ...words: string[]): Column<T> {
  return { ...reading, required: true, words }
}

/** A column that may be missing; an empty cell leaves what is kept, and for something new takes the default. */
export function optional<T>(reading: Reading<T>, ...words: string[]): Column<T | undefined> {
  return { ...reading, required: false, words, read: reading.read.optional() }
}

// The control characters that no description needs; a line break and a tab inside a cell are kept.
const UNREADABLE = /[\p{Cc}\uFFFD\uFFFE\uFFFF]/u
const plain = (text: string) => !UNREADABLE.test(text.replace(/[\n\r\t]/g, '')) && text.isWellFormed()

const Plain = (max: number) =>
  z
    .string()
    .max(max, `is longer than ${max} letters`)
    .refine(plain, 'holds a character that cannot be read; save the file again as UTF-8')

export function text(says: string, max = 200): Reading<string> {
  return { type: 'text', says, read: Plain(max) }
}

/** A number, name or code by which something is known: it must have a letter or a digit. */
export function identifier(says: string, max = 60): Reading<string> {
  const read = Plain(max).regex(/[\p{L}\p{N}]/u, 'has neither a letter nor a digit')
  return { type: 'identifier', says, read }
}

/** A decimal of the part's stock unit; turned into minor units when the unit of the part is known. */
export function quantity(says: string): Reading<string> {
  const read = z.string().regex(/^\d{1,9}(\.\d{1,9})?$/, 'is no quantity; write it as 12 or 0.25')
  return { type: 'quantity', says, read }
}

/** An amount in whole units of the currency, read as minor units. */
export function money(says: string): Reading<number> {
  const read = z.string().transform((cell, context) => {
    const minor = moneyParse(cell)
    if (minor !== null) return minor as number
    const isBelow = /^[-−–]\s*\d/.test(cell)
    context.addIssue(
      isBelow
        ? 'is below zero; write what is paid, such as 12.50'
        : 'is no amount; write it as 12 or 12.50, without a currency sign',
    )
    return z.NEVER
  })
  return { type: 'money', says, read }
}

/** A number between two bounds with at most `decimals` behind the point. */
export function number(says: string, min: number, max: number, decimals = 0): Reading<number> {
  const shape = decimals === 0 ? /^\d{1,9}$/ : new RegExp(`^\\d{1,9}(\\.\\d{1,${decimals}})?$`)
  const what = decimals === 0 ? 'a whole number' : `a number with at most ${decimals} decimals`
  const read = z
    .string()
    .refine(
      (cell) => shape.test(cell) && Number(cell) >= min && Number(cell) <= max,
      `must be ${what} from ${min} to ${max}`,
    )
    .transform(Number)
  return { type: 'number', says, read }
}

const folded = (cell: string) =>
  cell
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[_\s]+/g, '-')
    .replace(/\.$/, '')

/** A calendar day. A cell that a spreadsheet keeps as a date arrives in this form. */
export function date(says: string): Reading<string> {
  return { type: 'date', says, read: z.iso.date('is no date; write it as 2026-11-25') }
}

/** One of a few words; `also` names what else people write for one of them. */
export function choice<const V extends string>(
  says: string,
  values: readonly V[],
  also: Readonly<Record<string, V>> = {},
): Reading<V> {
  const known = new Map<string, V>([...values.map((value) => [folded(value), value] as const), ...Object.entries(also)])
  const shown = values.length > 12 ? 'one of the words listed in docs/columns.md' : `one of ${values.join(', ')}`
  const read = z.string().transform((cell, context) => {
    const value = known.get(folded(cell))
    if (value !== undefined) return value
    context.addIssue(`must be ${shown}`)
    return z.NEVER
  })
  return { type: 'choice', says, read }
}

export function yesNo(says: string): Reading<boolean> {
  const words: Record<string, boolean> = {
    yes: true,
    y: true,
    true: true,
    '1': true,
    no: false,
    n: false,
    false: false,
    '0': false,
  }
  const read = z.string().transform((cell, context) => {
    const value = words[cell.toLowerCase()]
    if (value !== undefined) return value
    context.addIssue('must be yes or no')
    return z.NEVER
  })
  return { type: 'yes-no', says, read }
}
