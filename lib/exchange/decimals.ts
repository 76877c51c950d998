/** Which decimal signs the numbers of a file prove to be in use. */
export interface DecimalSigns {
  point: boolean
  comma: boolean
}

/** A sign before one, two or more than three digits, or after thousands written with the other sign, is a decimal sign. */
const POINT_PROOF = /^(\d+\.(\d{1,2}|\d{4,})|\d{4,}\.\d+|\d{1,3}(,\d{3})+\.\d+)$/
const COMMA_PROOF = /^(\d+,(\d{1,2}|\d{4,})|\d{4,},\d+|\d{1,3}(\.\d{3})+,\d+)$/

/** Adds what one number of the file proves. */
export function decimalSignsIn(cell: string, signs: DecimalSigns): void {
  signs.point ||= POINT_PROOF.test(cell)
  signs.comma ||= COMMA_PROOF.test(cell)
}

const SPACES = /(?<=\d)[ \u00a0\u202f'’](?=\d{3}(\D|$))/g

/** A number whose one sign stands before three digits: what it means may hang on the other numbers of the file. */
export function decimalsUnsure(cell: string): boolean {
  return /^\d{1,3}[.,]\d{3}$/.test(cell.replace(SPACES, ''))
}

/**
 * A number with a decimal point and without thousands marks; what is no number comes back as it was. Null when it may mean two
 * numbers: 1,500 is fifteen hundred or one and a half, unless the file proves elsewhere that its comma is a decimal sign.
 */
export function decimalsNormal(cell: string, signs: DecimalSigns): string | null {
  const number = cell.replace(SPACES, '')
  if (/^\d{1,3},\d{3}$/.test(number)) return signs.comma && !signs.point ? number.replace(',', '.') : null
  if (/^\d{1,3}\.\d{3}$/.test(number)) return signs.comma ? null : number.replace(/\.000$/, '')
  if (/^\d{1,3}(,\d{3})+(\.\d+)?$/.test(number)) return whole(number.replaceAll(',', ''))
  if (/^\d{1,3}(\.\d{3})+(,\d+)?$/.test(number)) return whole(number.replaceAll('.', '').replace(',', '.'))
  if (/^\d+,\d+$/.test(number)) return whole(number.replace(',', '.'))
  return /^\d+(\.\d+)?$/.test(number) ? whole(number) : cell
}

/** Whole numbers that a spreadsheet wrote as 12.0 are whole. */
function whole(number: string): string {
  return number.replace(/^(\d+)\.0+$/, '$1')
}
