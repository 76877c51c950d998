import { partNumberKey } from '../catalogue/part-number.ts'
import type { StockUnit } from '../measure/quantity.ts'
import type { Tx } from './client.ts'
import { type Reader, type Refused, slices } from './exchange-rows.ts'

/** What a row that names a part needs to know of it. */
export interface NamedPart {
  id: number
  maker: string
  makerKey: string
  unit: StockUnit
}

/** Rows that name a part which must be known: by its number, and by its maker where two makers have that number. */
export type PartNamer = (
  row: { row: number },
  number: string,
  maker: string | undefined,
  refused: Refused,
  /** What stands before number and maker in the names of the columns. */
  of?: string,
) => NamedPart | undefined

export async function partNamer(reader: Reader, numbers: Iterable<string>): Promise<PartNamer> {
  const keys = new Set<string>()
  for (const number of numbers) keys.add(partNumberKey(number))
  const known = await namedKnown(reader, keys)
  return (row, number, maker, refused, of = '') => {
    const same = known.get(partNumberKey(number)) ?? []
    const makerKey = maker === undefined ? undefined : partNumberKey(maker)
    const found = makerKey === undefined ? same : same.filter((one) => one.makerKey === makerKey)
    if (found.length === 1) return found[0]
    const makers = same.map((one) => one.maker).join(', ')
    if (same.length === 0) refused.at(row, `${of}number`, `no part has the number ${number}; bring the parts in first`)
    else if (maker === undefined) refused.at(row, `${of}maker`, `is needed: ${number} is a number of ${makers}`)
    else refused.at(row, `${of}maker`, `${maker} has no part ${number}; the number is known of ${makers}`)
    return undefined
  }
}

/** Every part that bears one of the numbers, whoever makes it, by the key of its number. */
export async function namedKnown(reader: Reader, keys: Iterable<string>): Promise<Map<string, readonly NamedPart[]>> {
  type Raw = { id: number | bigint; maker: string; makerKey: string; unit: string; numberKey: string }
  const known = new Map<string, NamedPart[]>()
  // A hundred thousand parts have a handful of makers and units: each is kept once.
  const words = new Map<string, string>()
  const once = (word: string) => words.get(word) ?? words.set(word, word).get(word)!
  for (const slice of slices([...keys])) {
    const json = JSON.stringify(slice)
    const rows = await (reader as Tx).$queryRaw<Raw[]>`
      SELECT p."id", p."maker", p."makerKey", p."unit", p."numberKey"
      FROM json_each(${json}) k JOIN "Part" p ON p."numberKey" = k.value`
    for (const { id, maker, makerKey, unit, numberKey } of rows) {
      const part = { id: Number(id), maker: once(maker), makerKey: once(makerKey), unit: once(unit) as StockUnit }
      const same = known.get(numberKey)
      if (same) same.push(part)
      else known.set(numberKey, [part])
    }
  }
  return known
}
