import { partNumberKey } from '../catalogue/part-number.ts'
import type { Tx } from './client.ts'
import { put, type Reader } from './exchange-rows.ts'

/** Machine models that a file names: found by maker and name, and made when they are not known. */
export interface Models {
  /** Id of a known model. */
  id(maker: string, name: string): number | undefined
  /** The key under which a model is found again after `make`. */
  want(maker: string, name: string, kind: string | undefined): string
  wanted(): number
  make(tx: Tx): Promise<Map<string, number>>
}

export const modelKey = (maker: string, name: string) => partNumberKey(`${maker}/${name}`)

export async function modelsNamed(reader: Reader): Promise<Models> {
  const all = () => (reader as Tx).machineModel.findMany({ select: { id: true, key: true } })
  const known = new Map((await all()).map((model) => [model.key, model.id]))
  const fresh = new Map<string, { maker: string; name: string; kind: string }>()
  // A list of a hundred thousand lines names a few models again and again.
  const keys = new Map<string, string>()
  const keyOf = (maker: string, name: string) => {
    const said = `${maker}/${name}`
    const before = keys.get(said)
    if (before !== undefined) return before
    const key = modelKey(maker, name)
    keys.set(said, key)
    return key
  }
  return {
    id: (maker, name) => known.get(keyOf(maker, name)),
    want(maker, name, kind) {
      const key = keyOf(maker, name)
      if (known.has(key)) return key
      const before = fresh.get(key)
      // The first row that names a kind says what the model is.
      if (!before || (before.kind === 'machine' && kind !== undefined))
        fresh.set(key, { maker, name, kind: kind ?? 'machine' })
      return key
    },
    wanted: () => fresh.size,
    async make(tx) {
      await put(
        [...fresh],
        ([key, model]) => [key, model.maker, model.name, model.kind],
        (json) => tx.$executeRaw`
          INSERT INTO "MachineModel" ("key", "maker", "name", "kind")
          SELECT value->>0, value->>1, value->>2, value->>3 FROM json_each(${json})`,
      )
      if (fresh.size === 0) return known
      const rows = await tx.machineModel.findMany({ select: { id: true, key: true } })
      return new Map(rows.map((model) => [model.key, model.id]))
    },
  }
}
