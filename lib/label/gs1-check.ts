/**
 * The check digit of a GTIN, SSCC or other GS1 key: digits weighted 3 and 1 in turn from the right, filled up to ten.
 *
 * @param payload the digits before the check digit
 * @example gs1CheckDigit('629104150021') // '3'
 * Source: GS1 General Specifications, section 7.9.
 */
export function gs1CheckDigit(payload: string): string {
  if (!/^\d+$/.test(payload)) throw new RangeError(`digits expected, not "${payload}"`)
  const sum = [...payload].reverse().reduce((total, digit, at) => total + Number(digit) * (at % 2 === 0 ? 3 : 1), 0)
  return String((10 - (sum % 10)) % 10)
}

/** Whether the last digit is the check digit of the others. */
export function gs1CheckHolds(code: string): boolean {
  return /^\d{2,}$/.test(code) && gs1CheckDigit(code.slice(0, -1)) === code.at(-1)
}

/** Signs of a GTIN: 8, 12, 13 or 14. */
const GTIN_LENGTHS = new Set([8, 12, 13, 14])

/** A GTIN with a right check digit as its 14 digits, under which all its lengths are the same; null for anything else. */
export function gtin14(code: string): string | null {
  return GTIN_LENGTHS.has(code.length) && gs1CheckHolds(code) ? code.padStart(14, '0') : null
}

/**
 * The 12 digits of a UPC-A that a UPC-E leaves zeros out of.
 *
 * @param upce 8 digits: number system 0 or 1, six, check digit
 * @returns null where it is none
 * @example upceExpand('00123457') // '001234000057'
 * Source: GS1 General Specifications, section 5.2.2.4 (zero suppression).
 */
export function upceExpand(upce: string): string | null {
  const read = /^([01])(\d{2})(\d)(\d)(\d)(\d)(\d)$/.exec(upce)
  if (!read) return null
  const [, system, two, third, fourth, fifth, rule, check] = read
  const middle =
    rule! <= '2'
      ? `${two}${rule}0000${third}${fourth}${fifth}`
      : rule === '3'
        ? `${two}${third}00000${fourth}${fifth}`
        : rule === '4'
          ? `${two}${third}${fourth}00000${fifth}`
          : `${two}${third}${fourth}${fifth}0000${rule}`
  const whole = `${system}${middle}${check}`
  return gs1CheckHolds(whole) ? whole : null
}
