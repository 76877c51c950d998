import type { PartClass } from '../../lib/catalogue/part-class.ts'
import { nameKey, partNumberKey } from '../../lib/catalogue/part-number.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import type { PartFacts } from '../../lib/figure/schema.ts'
import type { StockUnit } from '../../lib/measure/quantity.ts'

/** Builders in the words of the trade: each makes one row with sensible values, any of which the test may set. */
let next = 0
const serial = () => {
  next += 1
  return next
}

export function aPerson(name: string): Promise<string> {
  const id = `person-${nameKey(name).replace(/ /g, '-')}`
  return inTransaction(async (tx) => {
    await tx.person.create({
      data: { id, name, nameKey: nameKey(name), secretHash: 'none', createdAt: new Date('2026-01-05T07:00:00Z') },
    })
    return id
  })
}

export function aBin(code = `B-${serial()}`, storeName = 'Long barn'): Promise<number> {
  return inTransaction(async (tx) => {
    const store = await tx.store.upsert({
      where: { nameKey: nameKey(storeName) },
      create: { name: storeName, nameKey: nameKey(storeName) },
      update: {},
    })
    const bin = await tx.bin.create({
      data: { storeId: store.id, code, codeKey: partNumberKey(code), walkOrder: serial() },
    })
    return bin.id
  })
}

export interface PartWish {
  number?: string
  maker?: string
  description?: string
  partClass?: PartClass
  unit?: StockUnit
  costMinor?: number
  facts?: PartFacts
}

export function aPart(wish: PartWish = {}): Promise<number> {
  const number = wish.number ?? `TX-${1000 + serial()}`
  const maker = wish.maker ?? 'Thornley & Pike'
  const description = wish.description ?? 'Return spring'
  return inTransaction(async (tx) => {
    const part = await tx.part.create({
      data: {
        number,
        maker,
        description,
        numberKey: partNumberKey(number),
        makerKey: partNumberKey(maker),
        partClass: wish.partClass ?? 'other',
        unit: wish.unit ?? 'each',
        facts: JSON.stringify(wish.facts ?? {}),
        costMinor: wish.costMinor ?? null,
        searchText: `${number} ${partNumberKey(number)} ${description}`.toLowerCase(),
      },
    })
    return part.id
  })
}

export function aMachine(fleetNumber = `M${serial()}`, serialNumber: string | null = null): Promise<number> {
  return inTransaction(async (tx) => {
    const [maker, name] = ['Thornley & Pike', `T${serial()}`]
    const model = await tx.machineModel.create({
      data: { maker, name, key: partNumberKey(`${maker}/${name}`), kind: 'tipping trailer' },
    })
    const machine = await tx.machine.create({
      data: { modelId: model.id, fleetNumber, fleetKey: partNumberKey(fleetNumber), name: 'Trailer', serialNumber },
    })
    return machine.id
  })
}
