import { criticalityOf, placeOf } from '../../seed/estate/catalogue.ts'
import type { Ending } from '../../seed/estate/ending.ts'
import type { Level } from '../../seed/estate/levels.ts'
import { OLD_SPARES } from '../../seed/estate/machine-spares.ts'
import type { ModelKey } from '../../seed/estate/machines.ts'
import { offersOf } from '../../seed/estate/offers.ts'
import type { ScenarioPart } from '../../seed/estate/scenario-part.ts'
import { BARN, VAN } from '../../seed/estate/shelf.ts'
import { MODELS } from '../../seed/figures/makers.ts'
import type { ScenarioInput } from '../../seed/scenario.ts'
import { CONSUMABLE_CLASSES, type PartClass } from '../catalogue/part-class.ts'
import type { Rule } from '../companion/rule.ts'
import type { PartFacts } from '../figure/schema.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { database } from './client.ts'
import { type PartRow, priceOf, refKey } from './demo-estate.ts'
import { figureView } from './figure.ts'

export interface EstateRead {
  input: Omit<ScenarioInput, 'seed' | 'calendar' | 'currency'>
  /** Price and criticality of every part, for those that figures brought in without. */
  prices: Map<number, { priceMinor: number; criticality: string }>
}

/** What the three years need to know, as plain values. */
export async function estateRead(rules: readonly Rule[]): Promise<EstateRead> {
  const db = database()
  const [partRows, binRows, machines, figures] = await Promise.all([
    db.part.findMany({ orderBy: { id: 'asc' } }),
    db.bin.findMany({ include: { store: true }, orderBy: { walkOrder: 'asc' } }),
    db.machine.findMany({ include: { model: true }, orderBy: { id: 'asc' } }),
    db.figure.findMany({ include: { models: { orderBy: { modelId: 'asc' } } }, orderBy: { id: 'asc' } }),
  ])
  const parts = partsPlaced(partRows, binRows)
  const modelKeys = Object.entries(MODELS) as [ModelKey, (typeof MODELS)[ModelKey]][]
  const onFile = []
  for (const machine of machines) {
    const [model] = modelKeys.find(([, one]) => one.maker === machine.model.maker && one.name === machine.model.name)!
    const own = figures.filter((figure) => figure.models.some((of) => of.modelId === machine.modelId))
    const views = []
    for (const figure of own)
      views.push(await figureView(db, figure.id, { modelId: machine.modelId, serialNumber: machine.serialNumber }))
    const { fleetNumber, name, serialNumber } = machine
    const modelName = `${machine.model.maker} ${machine.model.name}`
    onFile.push({
      machineId: machine.id,
      model,
      modelName,
      fleetNumber,
      name,
      serialNumber,
      hoursAtStart: machine.hourTenths / 10,
      figures: views,
    })
  }
  return {
    input: {
      rules,
      parts,
      machines: onFile,
      shelf: parts.filter((part) => CONSUMABLE_CLASSES.has(part.partClass)),
      figures: figures.map((figure) => ({ id: figure.id, name: `${figure.models[0]!.number} ${figure.title}` })),
      ending: endingOf(parts),
    },
    prices: new Map(parts.map((part) => [part.partId, { priceMinor: part.priceMinor, criticality: part.criticality }])),
  }
}

type PartRowWhole = PartRow & { id: number; description: string; unit: string; facts: string; criticality: string }

function partsPlaced(
  rows: readonly PartRowWhole[],
  bins: readonly { id: number; code: string; store: { name: string } }[],
): ScenarioPart[] {
  const old = new Set(OLD_SPARES.map(refKey))
  const vanBins = bins.filter((bin) => bin.store.name === VAN).map((bin) => bin.id)
  const racks = new Map<string, number[]>()
  for (const bin of bins)
    if (bin.store.name === BARN) racks.set(bin.code[0]!, [...(racks.get(bin.code[0]!) ?? []), bin.id])
  const places = rows.map((row) => placeOf({ number: row.number, partClass: row.partClass as PartClass }))
  const inRack = new Map<string, number>()
  for (const { rack } of places) inRack.set(rack, (inRack.get(rack) ?? 0) + 1)
  const filled = new Map<string, number>()
  let vans = 0
  return rows.map((row, index): ScenarioPart => {
    const { rack, twoBins, inVan } = places[index]!
    const rackBins = racks.get(rack)!
    const at = filled.get(rack) ?? 0
    filled.set(rack, at + 1)
    // The rack is filled from its first bin to its last, as many parts in each.
    const first = Math.floor((at * rackBins.length) / inRack.get(rack)!)
    const home = rackBins[first]!
    const spare = rackBins[(first + 1) % rackBins.length]!
    const unit = row.unit as StockUnit
    const priceMinor = priceOf(row)
    const [offer] = offersOf({ maker: row.maker, number: row.number, unit, priceMinor })
    return {
      partId: row.id,
      partNumber: row.number,
      maker: row.maker,
      description: row.description,
      partClass: row.partClass as PartClass,
      unit,
      partFacts: JSON.parse(row.facts) as PartFacts,
      priceMinor,
      criticality:
        row.costMinor === null
          ? criticalityOf(row.partClass as PartClass)
          : (row.criticality as ScenarioPart['criticality']),
      offer: offer!,
      bins: twoBins ? [home, spare] : [home],
      vanBin: inVan ? vanBins[vans++ % vanBins.length]! : null,
      old: old.has(refKey(row)),
    }
  })
}

const BY_HAND = 'Set by hand: enough for two pairs of knives; a service orders its own.'

/** Flail knives and what holds them lie ready; brake shoes are short and overdue. */
function endingOf(parts: readonly ScenarioPart[]): Ending {
  const levels = new Map<number, Level>()
  const exact = new Map<number, { quantity: number; reason: string }>()
  const first = (partClass: PartClass, maker: string) =>
    parts.find(
      (part) => part.partClass === partClass && part.maker === maker && !part.old && part.criticality !== 'desirable',
    )
  const counted = 'Bent or without a stamp, not to be fitted'
  const shelf = [
    ['flail-knife', 14, 8, 24],
    ['knife-bolt', 16, 8, 24],
    ['knife-nut', 6, 4, 30],
    ['bush', 14, 8, 24],
  ] as const
  for (const [partClass, quantity, reorderPoint, orderUpTo] of shelf) {
    const part = first(partClass, MODELS.mower.maker)
    if (!part) continue
    levels.set(part.partId, { reorderPoint, orderUpTo, reason: BY_HAND })
    exact.set(part.partId, { quantity, reason: counted })
  }
  const shoe = first('brake-shoe', MODELS.trailer.maker)
  if (shoe) {
    levels.set(shoe.partId, { reorderPoint: 4, orderUpTo: 8, reason: 'Set by hand: one axle takes four.' })
    exact.set(shoe.partId, { quantity: 1, reason: 'Linings soaked with oil from a leaking can, not to be fitted' })
  }
  const atLeast = new Map(
    parts
      .filter((part) => CONSUMABLE_CLASSES.has(part.partClass) && part.partClass !== 'split-pin')
      .map((part) => [
        part.partId,
        part.unit === 'each' ? 4 : part.unit === 'litre' && part.priceMinor < 10_000 ? 4_000 : 200,
      ]),
  )
  return {
    levels,
    exact,
    atLeast,
    late: shoe ? { partId: shoe.partId, quantity: 8 } : null,
    listed: { least: 20, most: 36 },
  }
}
