import { gs1CheckHolds } from './gs1-check.ts'
import table from './gs1-identifier.json' with { type: 'json' }

/** FNC1 behind an element of free length, as readers hand it on. */
export const GROUP_SEPARATOR = '\x1d'

export interface Gs1Element {
  /** Application identifier: 01, 10, 3103. */
  ai: string
  says: string
  /** Signs as printed; a date as a calendar day, a measure with its decimal point. */
  value: string
}

export type Gs1Read = { elements: Gs1Element[] } | { fault: string }

interface Identifier {
  ai: string
  says: string
  length: number
  fixed: boolean
  holds: string
}

const IDENTIFIERS = new Map((table.identifiers as Identifier[]).map((one) => [one.ai, one]))
/** Signs that an element may have (GS1 General Specifications, section 7.11, character set 82). */
const SIGNS = /^[!"%&'()*+,\-./0-9:;<=>?A-Z_a-z]+$/

function identifierAt(text: string): { ai: string; of: Identifier } | null {
  for (const length of [2, 3, 4]) {
    const ai = text.slice(0, length)
    // The fourth digit of a measure says where its decimal point stands.
    const of =
      IDENTIFIERS.get(ai) ?? (length === 4 && /^\d{4}$/.test(ai) ? IDENTIFIERS.get(`${ai.slice(0, 3)}n`) : undefined)
    if (of && ai.length === length) return { ai, of }
  }
  return null
}

/**
 * A date of six digits, YYMMDD, as a calendar day. Day 00 is the last of the month; of the centuries the one that brings the year
 * within 49 years behind and 50 ahead counts.
 *
 * @param year today's, since the digits leave the century out
 * @example gs1Date('260200', 2026) // '2026-02-28'
 * Source: GS1 General Specifications, sections 3.4 and 7.12.
 */
export function gs1Date(digits: string, year: number): string | null {
  const read = /^(\d\d)(\d\d)(\d\d)$/.exec(digits)
  if (!read) return null
  const [short, month, day] = read.slice(1).map(Number) as [number, number, number]
  const apart = short - (year % 100)
  const century = Math.floor(year / 100) + (apart >= 51 ? -1 : apart <= -50 ? 1 : 0)
  const full = century * 100 + short
  if (month < 1 || month > 12) return null
  const last = new Date(Date.UTC(full, month, 0)).getUTCDate()
  if (day > last) return null
  const two = (number: number) => String(number).padStart(2, '0')
  return `${full}-${two(month)}-${two(day === 0 ? last : day)}`
}

function valueRead(of: Identifier, ai: string, raw: string, year: number): string | { fault: string } {
  const where = `${of.says} (${ai})`
  if (raw === '') return { fault: `${where} is empty` }
  if (of.fixed ? raw.length !== of.length : raw.length > of.length)
    return { fault: `${where} has ${of.fixed ? '' : 'at most '}${of.length} signs, not ${raw.length}: ${raw}` }
  if (of.holds === 'text') return SIGNS.test(raw) ? raw : { fault: `${where} has a sign that is not allowed: ${raw}` }
  if (!/^\d+$/.test(raw)) return { fault: `${where} is digits only, not ${raw}` }
  if ((of.holds === 'gtin' || of.holds === 'sscc') && !gs1CheckHolds(raw))
    return { fault: `the check digit of the ${where} is wrong: ${raw}` }
  if (of.holds === 'date') return gs1Date(raw, year) ?? { fault: `${where} is no date: ${raw}` }
  if (of.holds === 'decimal') return (Number(raw) / 10 ** Number(ai[3])).toFixed(Number(ai[3]))
  return raw
}

/** "(01)09501101530003(10)AB" as it is printed under a symbol, turned into what a reader would hand on. */
function fromPrinted(text: string): string {
  const parts = [...text.matchAll(/\((\d{2,4})\)([^(]*)/g)]
  return parts.map(([, ai, value]) => `${ai}${value}${GROUP_SEPARATOR}`).join('')
}

/**
 * Takes an element string apart.
 *
 * @param text without symbology identifier: as a reader gives it, or as printed with brackets
 * @param year today's, for the century of dates
 * @example gs1Read('0109501101530003', 2026) // { elements: [{ ai: '01', says: 'GTIN', value: '09501101530003' }] }
 * Source: GS1 General Specifications, section 7.8 (processing of element strings).
 */
export function gs1Read(text: string, year: number): Gs1Read {
  let rest = /^\(\d{2,4}\)/.test(text) ? fromPrinted(text) : text.startsWith(GROUP_SEPARATOR) ? text.slice(1) : text
  if (rest === '') return { fault: 'nothing was read' }
  const elements: Gs1Element[] = []
  while (rest !== '') {
    const found = identifierAt(rest)
    if (!found) return { fault: `${rest.slice(0, 4)} is no application identifier that is known here` }
    const { ai, of } = found
    const body = rest.slice(ai.length)
    const end = body.indexOf(GROUP_SEPARATOR)
    const length = of.fixed ? Math.min(of.length, end < 0 ? body.length : end) : end < 0 ? body.length : end
    const value = valueRead(of, ai, body.slice(0, length), year)
    if (typeof value !== 'string') return value
    const twice = elements.find((one) => one.ai === ai && one.value !== value)
    if (twice) return { fault: `${of.says} (${ai}) is there twice: ${twice.value} and ${value}` }
    elements.push({ ai, says: of.says, value })
    rest = body.slice(length)
    if (rest.startsWith(GROUP_SEPARATOR)) rest = rest.slice(1)
  }
  return { elements }
}
