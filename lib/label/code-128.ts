import table from './code-128.json' with { type: 'json' }

const START_B = 104
const START_C = 105
const TO_C = 99
const TO_B = 100
const FNC1 = 102
const STOP = 106
/** FNC1 in a text, in front of elements of GS1 and between them; sets B and C both have it. */
const SEPARATOR = '\x1d'
/** Clear space that a reader needs on either side, modules (ISO/IEC 15417, 4.3.2 c). */
export const CODE_128_QUIET = 10

/**
 * The check symbol: start value and each value by its place, modulo 103.
 *
 * @param values start symbol and data symbols, without check and stop
 * @example code128Check([104, 33]) // the letter A: 34
 * Source: ISO/IEC 15417, annex A.
 */
export function code128Check(values: readonly number[]): number {
  return values.reduce((sum, value, at) => (sum + value * Math.max(at, 1)) % 103, 0)
}

/**
 * Symbol values of a text, start to stop, in as few symbols as sets B and C allow: C writes two digits as one.
 * @param text printable ASCII, 1 to 80 signs, FNC1 as its separator
 */
export function code128Values(text: string): number[] {
  if (!/^[ -~]{1,80}$/.test(text.replaceAll(SEPARATOR, '')))
    throw new RangeError(`Code 128, set B and C, cannot write "${text}"`)
  // Fewest symbols from each place to the end, by the set that is on. Longer runs of digits are worth the change to C.
  const rest: { inB: number; inC: number }[] = Array.from({ length: text.length + 1 }, () => ({ inB: 0, inC: 0 }))
  const isPair = (at: number) => /^\d\d$/.test(text.slice(at, at + 2))
  for (let at = text.length - 1; at >= 0; at--) {
    const b = 1 + rest[at + 1]!.inB
    const c =
      text[at] === SEPARATOR ? 1 + rest[at + 1]!.inC : isPair(at) ? 1 + rest[at + 2]!.inC : Number.POSITIVE_INFINITY
    rest[at] = { inB: Math.min(b, 1 + c), inC: Math.min(c, 1 + b) }
  }
  let isC = rest[0]!.inC < rest[0]!.inB
  const values = [isC ? START_C : START_B]
  for (let at = 0; at < text.length; ) {
    if (text[at] === SEPARATOR) {
      values.push(FNC1)
      at += 1
      continue
    }
    const pair = isPair(at) ? 1 + rest[at + 2]!.inC : Number.POSITIVE_INFINITY
    const single = 1 + rest[at + 1]!.inB
    const wantC = isC ? pair <= 1 + single : 1 + pair < single
    if (wantC !== isC) values.push(wantC ? TO_C : TO_B)
    isC = wantC
    values.push(isC ? Number(text.slice(at, at + 2)) : text.charCodeAt(at) - 32)
    at += isC ? 2 : 1
  }
  return [...values, code128Check(values), STOP]
}

/** Widths of bar, space, bar ... in modules, without the clear space on either side. */
export function code128Widths(text: string): number[] {
  return code128Values(text).flatMap((value) => [...table.patterns[value]!].map(Number))
}
