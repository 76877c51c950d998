import { partNumberKey } from '../catalogue/part-number.ts'
import { type KnownPart, partKey, partsKnown } from './exchange-parts.ts'
import type { Reader, Refused } from './exchange-rows.ts'

/** Rows that name a part which must be known: by its number, and by its maker where two makers have that number. */
export type PartNamer = (
  row: { row: number },
  number: string,
  maker: string | undefined,
  refused: Refused,
  /** What stands before number and maker in the names of the columns. */
  of?: string,
) => KnownPart | undefined

export async function partNamer(reader: Reader, numbers: Iterable<string>): Promise<PartNamer> {
  const byKey = new Map<string, KnownPart>()
  const byNumber = new Map<string, KnownPart[]>()
  for (const part of await partsKnown(reader, numbers)) {
    byKey.set(part.key, part)
    const key = partNumberKey(part.number)
    byNumber.set(key, [...(byNumber.get(key) ?? []), part])
  }
  return (row, number, maker, refused, of = '') => {
    const same = byNumber.get(partNumberKey(number)) ?? []
    const part = maker === undefined ? (same.length === 1 ? same[0] : undefined) : byKey.get(partKey(maker, number))
    if (part) return part
    const makers = same.map((one) => one.maker).join(', ')
    if (same.length === 0) refused.at(row, `${of}number`, `no part has the number ${number}; bring the parts in first`)
    else if (maker === undefined) refused.at(row, `${of}maker`, `is needed: ${number} is a number of ${makers}`)
    else refused.at(row, `${of}maker`, `${maker} has no part ${number}; the number is known of ${makers}`)
    return undefined
  }
}
