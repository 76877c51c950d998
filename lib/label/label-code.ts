/** What our own labels are stuck to. */
export type LabelKind = 'bin' | 'part' | 'machine'

export const LABEL_KINDS: readonly LabelKind[] = ['bin', 'part', 'machine']

/** What labels are printed of: a batch has none of our codes, its symbol is that of a pack. */
export const LABELS_OF = [...LABEL_KINDS, 'batch'] as const
export type LabelOf = LabelKind | 'batch'

const LETTER: Record<LabelKind, string> = { bin: 'B', part: 'P', machine: 'M' }

/** Letters as two digits, A is 10, then the whole modulo 97, digit by digit: no number grows too large. */
function modulo97(text: string): number {
  const digits = [...text].map((sign) => (/\d/.test(sign) ? sign : String(sign.charCodeAt(0) - 55))).join('')
  return [...digits].reduce((rest, digit) => (rest * 10 + Number(digit)) % 97, 0)
}

/**
 * Two check digits: every single wrong sign and every swap of neighbours shows.
 *
 * @param text digits and capitals
 * @example check97('CB12')
 * Source: ISO/IEC 7064, MOD 97-10.
 */
export function check97(text: string): string {
  return String(98 - modulo97(`${text}00`)).padStart(2, '0')
}

/** Whether the last two digits are the check digits of the rest. */
export function check97Holds(text: string): boolean {
  return /^[0-9A-Z]+\d\d$/.test(text) && modulo97(text) === 1
}

/**
 * What stands in the symbol of a label: C, a letter for the kind, the number of the row, two check digits. Capitals and digits
 * only, so that scanners that act as a keyboard bring it through in any layout that has these, and the symbol stays small.
 */
export function labelCode(kind: LabelKind, id: number): string {
  const text = `C${LETTER[kind]}${id}`
  return `${text}${check97(text)}`
}

export type LabelRead = { kind: LabelKind; id: number } | 'spoiled' | null

/** What a label of ours is stuck to; spoiled where it has the shape and not the check digits; null for any other text. */
export function labelCodeRead(text: string): LabelRead {
  const read = /^C([BPM])([1-9]\d{0,9})\d\d$/.exec(text.toUpperCase())
  if (!read) return null
  if (!check97Holds(text.toUpperCase())) return 'spoiled'
  return { kind: LABEL_KINDS.find((kind) => LETTER[kind] === read[1])!, id: Number(read[2]) }
}
