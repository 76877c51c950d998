import { type DrawnLine, drawnKits, estateParts, KITS } from '../../seed/estate/catalogue.ts'
import { OLD_SPARES, type SpareRef, SUPERSESSIONS } from '../../seed/estate/machine-spares.ts'
import { fleetOf, type ModelKey } from '../../seed/estate/machines.ts'
import { figurePartPrice, offersOf } from '../../seed/estate/offers.ts'
import { PEOPLE, WORKSHOP_NAME } from '../../seed/estate/people.ts'
import { BARN, binsOf, VAN } from '../../seed/estate/shelf.ts'
import { SUPPLIER_KEYS, SUPPLIERS } from '../../seed/estate/suppliers.ts'
import { MODELS } from '../../seed/figures/makers.ts'
import type { PartClass } from '../catalogue/part-class.ts'
import { nameKey, partNumberKey } from '../catalogue/part-number.ts'
import { partFound } from '../catalogue/part-search.ts'
import { randomSeeded } from '../maths/random.ts'
import { moneyOfQuantity } from '../measure/money.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { must } from '../must.ts'
import { secretHash } from '../people/secret.ts'
import type { Tx } from './client.ts'
import { supersessionPlace } from './part.ts'
import { inTransaction } from './transaction.ts'

/** The demo's people, and the settings by which the sign-in screen knows that this is the demo. */
export async function peoplePlace(createdAt: Date, seed: string): Promise<void> {
  const random = randomSeeded(`${seed}/salt`)
  // Salts are seeded so that two demos are alike; the PINs are printed on the sign-in screen, so nothing is lost by it.
  const salts = PEOPLE.map(() => Uint8Array.from({ length: 16 }, () => Math.floor(random() * 256)))
  const hashes = await Promise.all(PEOPLE.map((person, index) => secretHash(person.secret, salts[index]!)))
  await inTransaction(async (tx) => {
    await tx.setting.createMany({
      data: [
        { name: 'demo', value: 'true' },
        {
          name: 'demo-sign-in',
          value: JSON.stringify(PEOPLE.map(({ name, secret, roles }) => ({ name, secret, roles }))),
        },
        { name: 'workshop-name', value: WORKSHOP_NAME },
      ],
    })
    await tx.person.createMany({
      data: PEOPLE.map(({ id, name }, index) => ({
        id,
        name,
        nameKey: nameKey(name),
        secretHash: hashes[index]!,
        createdAt,
      })),
    })
    await tx.personRole.createMany({
      data: PEOPLE.flatMap(({ id, roles }) => roles.map((role) => ({ personId: id, role }))),
    })
  })
}

export const refKey = ({ maker, number }: SpareRef) => `${partNumberKey(maker)}/${partNumberKey(number)}`

/** Ids of all parts by maker and number. */
export async function partIds(tx: Tx): Promise<Map<string, number>> {
  const parts = await tx.part.findMany({ select: { id: true, maker: true, number: true } })
  return new Map(parts.map((part) => [refKey(part), part.id]))
}

/** Models, machines, parts, kits, supersessions, stores and suppliers: all that stands before anything moves. */
export async function estatePlace(tx: Tx, now: Date): Promise<void> {
  await modelsAndMachines(tx)
  await partsAndKits(tx)
  const ids = await partIds(tx)
  const idOf = (ref: SpareRef) => {
    const id = ids.get(refKey(ref))
    must(id !== undefined, `the estate keeps ${ref.maker} ${ref.number}`)
    return id
  }
  for (const link of SUPERSESSIONS)
    await supersessionPlace(tx, now, {
      oldPartId: idOf(link.old),
      newPartId: idOf(link.new),
      ratio: link.ratio,
      interchange: link.interchange,
      note: link.note,
    })
  await tx.kitContent.createMany({
    data: KITS.flatMap((kit) =>
      kit.contents.map(({ part, quantity }) => ({ kitId: idOf(kit.part), contentId: idOf(part), quantity })),
    ),
  })
  await storesAndSuppliers(tx)
}

async function modelsAndMachines(tx: Tx): Promise<void> {
  for (const model of Object.values(MODELS)) {
    const key = partNumberKey(`${model.maker}/${model.name}`)
    await tx.machineModel.upsert({ where: { key }, create: { ...model, key }, update: {} })
  }
  const models = await tx.machineModel.findMany()
  const modelOf = (key: ModelKey) =>
    models.find((one) => one.key === partNumberKey(`${MODELS[key].maker}/${MODELS[key].name}`))!
  const broken = await tx.partsListLine.findMany({
    where: { OR: [{ serialFrom: { not: null } }, { serialTo: { not: null } }] },
    include: { figure: { include: { models: true } } },
    orderBy: { id: 'asc' },
  })
  const fleet = fleetOf((key) =>
    broken
      .filter((line) => line.figure.models.some((of) => of.modelId === modelOf(key).id))
      .map((line) => ({
        ...(line.serialFrom === null ? {} : { from: line.serialFrom }),
        ...(line.serialTo === null ? {} : { to: line.serialTo }),
      })),
  )
  await tx.machine.createMany({
    data: fleet.map(({ model, fleetNumber, name, serialNumber, year, hoursAtStart }) => ({
      modelId: modelOf(model).id,
      fleetNumber,
      fleetKey: partNumberKey(fleetNumber),
      name,
      serialNumber,
      year,
      hourTenths: hoursAtStart * 10,
    })),
  })
}

async function partsAndKits(tx: Tx): Promise<void> {
  const there = await partIds(tx)
  const row = (part: { maker: string; number: string; description: string }) => ({
    maker: part.maker,
    number: part.number,
    description: part.description,
    ...partFound(part),
  })
  // A figure may list a part that the estate keeps as well; it is one part then, and stays as the figure has it.
  await tx.part.createMany({
    data: estateParts()
      .filter((part) => !there.has(refKey(part)))
      .map((part) => ({
        ...row(part),
        partClass: part.partClass,
        unit: part.unit,
        facts: JSON.stringify(part.facts),
        criticality: part.criticality,
        costMinor: part.priceMinor,
      })),
  })
  const figures = await tx.figure.findMany({
    include: { lines: { orderBy: { sort: 'asc' }, include: { part: true } } },
    orderBy: { id: 'asc' },
  })
  for (const figure of figures) {
    const positions = (JSON.parse(figure.positions) as unknown[]).length
    const lines = figure.lines.map(
      (line): DrawnLine => ({
        partId: line.partId,
        maker: line.part.maker,
        partNumber: line.part.number,
        partClass: line.part.partClass as PartClass,
        quantity: line.quantity,
        positions,
      }),
    )
    const ids = await partIds(tx)
    for (const kit of drawnKits(lines)) {
      if (ids.has(refKey(kit))) continue
      const singly = kit.contents.reduce((sum, { contentId, quantity }) => {
        const { part } = figure.lines.find((line) => line.partId === contentId)!
        return sum + moneyOfQuantity(priceOf(part), quantity, part.unit as StockUnit)
      }, 0)
      // Makers ask less for the kit than for its parts, or nobody would buy what he does not need.
      const costMinor = Math.round(singly * 0.82)
      const made = await tx.part.create({ data: { ...row(kit), partClass: 'other', costMinor } })
      await tx.kitContent.createMany({ data: kit.contents.map((content) => ({ kitId: made.id, ...content })) })
    }
  }
}

async function storesAndSuppliers(tx: Tx): Promise<void> {
  const barn = await tx.store.create({ data: { name: BARN, nameKey: nameKey(BARN), kind: 'building' } })
  const van = await tx.store.create({ data: { name: VAN, nameKey: nameKey(VAN), kind: 'van' } })
  await tx.bin.createMany({
    data: binsOf().map(({ store, code, walkOrder, square }) => ({
      storeId: store === BARN ? barn.id : van.id,
      code,
      codeKey: partNumberKey(code),
      walkOrder,
      mapColumn: square?.column ?? null,
      mapRow: square?.row ?? null,
    })),
  })
  await tx.supplier.createMany({
    data: SUPPLIER_KEYS.map((key, index) => ({
      id: index + 1,
      ...SUPPLIERS[key],
      nameKey: nameKey(SUPPLIERS[key].name),
    })),
  })
  const parts = await tx.part.findMany({ orderBy: { id: 'asc' } })
  const old = new Set(OLD_SPARES.map(refKey))
  await tx.offer.createMany({
    data: parts
      .filter((part) => !old.has(refKey(part)))
      .flatMap((part) =>
        offersOf({
          maker: part.maker,
          number: part.number,
          unit: part.unit as StockUnit,
          priceMinor: priceOf(part),
        }).map(({ supplier, ...offer }) => ({
          supplierId: SUPPLIER_KEYS.indexOf(supplier) + 1,
          partId: part.id,
          ...offer,
        })),
      ),
  })
}

export interface PartRow {
  maker: string
  number: string
  partClass: string
  costMinor: number | null
}

/** Today's price: the estate's own for its own goods, made up by class for what a figure lists. */
export function priceOf(part: PartRow): number {
  return part.costMinor ?? figurePartPrice({ ...part, partClass: part.partClass as PartClass })
}
