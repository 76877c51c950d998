import { gtin14, upceExpand } from './gs1-check.ts'
import { GROUP_SEPARATOR, type Gs1Element, gs1Read } from './gs1-element.ts'
import { type LabelKind, labelCodeRead } from './label-code.ts'

export type Scanned =
  | { is: 'label'; kind: LabelKind; id: number }
  | { is: 'gs1'; elements: Gs1Element[] }
  | { is: 'gtin'; gtin: string }
  /** A part number, a fleet number, a bin code: whoever knows them must look. `spoiled`: it has the shape of our own label. */
  | { is: 'text'; text: string; spoiled: boolean }
  | { is: 'broken'; why: string }

/** Symbology identifiers of GS1 symbols (ISO/IEC 15424): GS1-128, DataBar, GS1 DataMatrix, GS1 QR, GS1 DotCode. */
const GS1_SYMBOLS = new Set([']C1', ']e0', ']e1', ']e2', ']d2', ']Q3', ']J1'])
/** Signs that are read at most; a longer text is a web address or a document, and no part. */
export const SCANNED_SIGNS_MAX = 300

/**
 * What a text out of a symbol says, before anybody looks it up.
 *
 * @param raw as the reader gave it, with or without its symbology identifier
 * @param year today's, for the century of dates
 */
export function scannedRead(raw: string, year: number): Scanned {
  const symbology = /^\][A-Za-z][0-9A-Za-z]/.exec(raw)?.[0] ?? null
  // Readers that act as a keyboard end with Enter or Tab, some begin with a separator.
  const text = (symbology ? raw.slice(3) : raw).replace(/[\r\n\t]+/g, '').trim()
  if (text === '') return { is: 'broken', why: 'Nothing was read. Scan it again.' }
  if (text.length > SCANNED_SIGNS_MAX)
    return { is: 'broken', why: 'The code holds a long text, not a part, bin or machine.' }
  const isGs1 = symbology !== null && GS1_SYMBOLS.has(symbology)
  if (isGs1 || text.startsWith('(') || text.includes(GROUP_SEPARATOR)) {
    const read = gs1Read(text, year)
    return 'elements' in read
      ? { is: 'gs1', elements: read.elements }
      : { is: 'broken', why: `The code cannot be read: ${read.fault}. Type the part number that is printed.` }
  }
  const label = labelCodeRead(text)
  if (label !== null && label !== 'spoiled') return { is: 'label', ...label }
  const gtin = gtinOf(text, symbology)
  if (gtin) return { is: 'gtin', gtin }
  // A reader that leaves the identifier out: a GTIN with its check digit in front makes chance unlikely.
  if (/^01\d{14}./.test(text) || /^0[12]\d{14}$/.test(text)) {
    const read = gs1Read(text, year)
    if ('elements' in read) return { is: 'gs1', elements: read.elements }
  }
  return { is: 'text', text, spoiled: label === 'spoiled' }
}

function gtinOf(text: string, symbology: string | null): string | null {
  if (!/^\d{8,14}$/.test(text)) return null
  // Eight digits with a zero in front are a UPC-E: a GTIN-8 that begins so is a shop's own. ]E4 is the symbol of the GTIN-8.
  const isShort = text.length === 8 && text.startsWith('0') && symbology !== ']E4'
  const whole = (isShort ? gtin14(upceExpand(text) ?? '') : null) ?? gtin14(text)
  // Digits alone may as well be a part number: without its symbol only the lengths of retail goods are believed.
  return symbology === null && text.length < 12 ? null : whole
}

/** What a code says of the pack it stands on; '' where it says nothing of it. */
export interface ScannedBatch {
  code: string
  /** ISO 8601 calendar date. */
  useBy: string
}

/**
 * Batch number and last day: application identifier 10, and 17 (use by) before 15 (best before). A symbol of free text may be a
 * batch number of its own. Null where the code says neither.
 * Source: GS1 General Specifications, section 3.4 (application identifiers 10, 15 and 17).
 */
export function scannedBatch(scanned: Scanned): ScannedBatch | null {
  if (scanned.is === 'text') return scanned.text.length > 40 ? null : { code: scanned.text, useBy: '' }
  if (scanned.is !== 'gs1') return null
  const said = (ai: string) => scanned.elements.find((element) => element.ai === ai)?.value
  const code = said('10') ?? ''
  const useBy = said('17') ?? said('15') ?? ''
  return code === '' && useBy === '' ? null : { code, useBy }
}
