import { gtin14 } from './gs1-check.ts'
import { GROUP_SEPARATOR, type Gs1Element } from './gs1-element.ts'

export type Gs1Written = readonly Pick<Gs1Element, 'ai' | 'value'>[]

/** Character set 82 of the GS1 General Specifications, section 7.11, without brackets, which people read as those of an identifier. */
const SIGNS = /^[!"%&'*+,\-./0-9:;<=>?A-Z_a-z]+$/
const fits = (text: string, length: number) => text.length <= length && SIGNS.test(text)

/**
 * What the symbol on a pack of one batch says: the part by the number of the trade item (01) where a supplier's number is one, else
 * by our own (241); the last day (17); the batch (10). Null where a sign or a length does not allow it.
 *
 * @param code batch number; '' where only the day is kept
 * @example batchElements({ number: 'TX-7', supplierNumbers: [] }, { code: 'L23', expiresOn: '2027-03-31' }) // 241 TX-7, 17 270331, 10 L23
 * Source: GS1 General Specifications, section 3. Alone, 241 and 10 are for inside the workshop only: goods in trade have a 01.
 */
export function batchElements(
  part: { number: string; supplierNumbers: readonly string[] },
  batch: { code: string; expiresOn: string | null },
): Gs1Written | null {
  const gtin = part.supplierNumbers.map((number) => number.length >= 12 && gtin14(number)).find(Boolean)
  if (!gtin && !fits(part.number, 30)) return null
  if (batch.code !== '' && !fits(batch.code, 20)) return null
  if (batch.code === '' && batch.expiresOn === null) return null
  return [
    gtin ? { ai: '01', value: gtin } : { ai: '241', value: part.number },
    ...(batch.expiresOn === null ? [] : [{ ai: '17', value: batch.expiresOn.slice(2).replaceAll('-', '') }]),
    ...(batch.code === '' ? [] : [{ ai: '10', value: batch.code }]),
  ]
}

/** Elements whose end needs no separator, of those that are written here. */
const FIXED = new Set(['01', '17'])

/** As it stands in a symbol, FNC1 as the separator: in front, and behind an element of free length that another one follows. */
export function gs1Symbol(elements: Gs1Written): string {
  const body = elements.map(({ ai, value }, at) =>
    FIXED.has(ai) || at === elements.length - 1 ? `${ai}${value}` : `${ai}${value}${GROUP_SEPARATOR}`,
  )
  return `${GROUP_SEPARATOR}${body.join('')}`
}

/** As it is printed below a symbol: (17)270331(10)L23. */
export function gs1Printed(elements: Gs1Written): string {
  return elements.map(({ ai, value }) => `(${ai})${value}`).join('')
}
