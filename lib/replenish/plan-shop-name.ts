import type { ShopNames, ShopState } from './plan-shop-state.ts'

export interface Labels {
  part: (id: number) => string
  supplier: (id: number) => string
  offer: (supplierId: number, partId: number) => string
  names: Pick<ShopNames, 'parts' | 'suppliers'>
}

/** Names in a problem are no longer. */
const LONGEST = 80

/** Names that a person knows things by: the part number, with its maker where two have the same. Each names one thing only. */
export function shopLabels({ parts, suppliers }: Pick<ShopState, 'parts' | 'suppliers'>): Labels {
  const times = new Map<string, number>()
  for (const { number } of parts) times.set(number, (times.get(number) ?? 0) + 1)
  const ofPart = once(
    parts.map(({ id, number, maker }) => ({ id, name: times.get(number)! > 1 ? `${number} (${maker})` : number })),
  )
  const ofSupplier = once(suppliers)
  const part = (id: number) => ofPart.get(id) ?? `part ${id}`
  const supplier = (id: number) => ofSupplier.get(id) ?? `supplier ${id}`
  return {
    part,
    supplier,
    offer(supplierId, partId) {
      const whole = `${part(partId)} from ${supplier(supplierId)}`
      return whole.length <= LONGEST ? whole : `offer ${supplierId}/${partId}`
    },
    names: { parts: back(ofPart), suppliers: back(ofSupplier) },
  }
}

const back = (names: ReadonlyMap<number, string>) => Object.fromEntries([...names].map(([id, name]) => [name, id]))

function once(all: readonly { id: number; name: string }[]): Map<number, string> {
  const taken = new Set<string>()
  return new Map(
    all.map(({ id, name }) => {
      const plain = name.replace(/\p{Cc}/gu, ' ').trim()
      const end = ` no. ${id}`
      const label =
        plain.length > 0 && plain.length <= LONGEST && !taken.has(plain)
          ? plain
          : `${plain.slice(0, LONGEST - end.length)}${end}`
      taken.add(label)
      return [id, label]
    }),
  )
}
