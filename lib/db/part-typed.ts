import { partNumberKey } from '../catalogue/part-number.ts'
import { Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'

/**
 * The part that a person wrote down by its number, and by its maker where several use that number. Refuses with
 * 'stock/unknown-part' and 'catalogue/which-part'.
 */
export async function partTyped(tx: Tx, typed: { number: string; maker?: string | undefined }) {
  const makerKey = partNumberKey(typed.maker ?? '')
  const parts = await tx.part.findMany({
    where: { numberKey: partNumberKey(typed.number), ...(makerKey === '' ? {} : { makerKey }) },
    orderBy: { id: 'asc' },
  })
  const [part, ...more] = parts
  if (!part) throw new Refusal('stock/unknown-part', { part: typed.number }, { fields: { number: 'no such part' } })
  if (more.length > 0)
    throw new Refusal(
      'catalogue/which-part',
      { number: typed.number, makers: parts.map((one) => one.maker).join(', ') },
      { fields: { maker: 'say which maker' } },
    )
  return part
}

/** The part of a row id. Refuses with 'stock/unknown-part'. */
export async function partKnown(tx: Tx, partId: number) {
  const part = await tx.part.findUnique({ where: { id: partId } })
  if (!part) throw new Refusal('stock/unknown-part', { part: partId })
  return part
}

export async function personNames(tx: Tx, ids: readonly (string | null)[]): Promise<(id: string | null) => string> {
  const people = await tx.person.findMany({
    where: { id: { in: [...new Set(ids.filter((id) => id !== null))] } },
    select: { id: true, name: true },
  })
  const names = new Map(people.map((person) => [person.id, person.name]))
  return (id) => (id === null ? '' : (names.get(id) ?? 'somebody who left'))
}
