import { serialRangesPrint } from '../catalogue/serial-ranges.ts'
import type { Kind } from '../exchange/columns.ts'
import type { TableFormat } from '../exchange/table.ts'
import { type RowOut, tableBytes } from '../exchange/write.ts'
import { PartFacts } from '../figure/schema.ts'
import { quantityInput, type StockUnit } from '../measure/quantity.ts'
import { settingsRead } from '../settings.ts'
import { binBatches } from './batch-read.ts'
import { database } from './client.ts'
import { countSheetRows } from './exchange-counts.ts'
import { alternativeRows, kitRows, supersessionRows } from './exchange-export-links.ts'
import { PART_FACT_COLUMNS } from './exchange-parts.ts'
import { PAGE, paged } from './exchange-rows.ts'
import { lineRowBreaks } from './line-breaks.ts'

const money = (minor: number | null) => (minor === null ? '' : (minor / 100).toFixed(2))
const quantity = (minor: number, unit: string) => quantityInput(minor, unit as StockUnit)
const number = (value: number | null) => (value === null ? '' : String(value))

async function* partRows(currency: string): AsyncGenerator<RowOut> {
  const parts = paged((last: { id: number } | null) =>
    database().part.findMany({
      where: { id: { gt: last?.id ?? 0 } },
      orderBy: { id: 'asc' },
      take: PAGE,
      include: { level: true },
    }),
  )
  for await (const part of parts) {
    const facts = PartFacts.parse(JSON.parse(part.facts))
    yield {
      maker: part.maker,
      number: part.number,
      description: part.description,
      class: part.partClass,
      unit: part.unit,
      criticality: part.criticality,
      cost: money(part.costMinor),
      currency: part.costMinor === null ? '' : currency,
      reorder_point: part.level ? quantity(part.level.reorderPoint, part.unit) : '',
      order_up_to: part.level ? quantity(part.level.orderUpTo, part.unit) : '',
      level_reason: part.level?.reason ?? '',
      discontinued_on: part.discontinuedOn ?? '',
      discontinued_note: part.discontinuedNote ?? '',
      ...Object.fromEntries(PART_FACT_COLUMNS.map(([column, fact]) => [column, String(facts[fact] ?? '')])),
    }
  }
}

async function* listRows(): AsyncGenerator<RowOut> {
  const db = database()
  const figures = await db.figureOfModel.findMany({
    select: { figureId: true, number: true, model: true, figure: { select: { title: true } } },
    orderBy: [{ modelId: 'asc' }, { figureId: 'asc' }],
  })
  // Some hundred lines of a figure at most: a page of figures is a page of lines.
  for (let at = 0; at < figures.length; at += 100) {
    const page = figures.slice(at, at + 100)
    const lines = await db.partsListLine.findMany({
      where: { figureId: { in: page.map((one) => one.figureId) }, retiredAt: null },
      orderBy: [{ figureId: 'asc' }, { sort: 'asc' }, { id: 'asc' }],
      include: { part: { select: { maker: true, number: true, unit: true, partClass: true } } },
    })
    for (const {
      figureId,
      number: figure,
      model,
      figure: { title },
    } of page) {
      for (const line of lines.filter((one) => one.figureId === figureId)) {
        yield {
          model_maker: model.maker,
          model: model.name,
          model_kind: model.kind,
          figure,
          figure_title: title,
          item: line.item,
          maker: line.part.maker,
          number: line.part.number,
          description: line.description,
          quantity: quantity(line.quantity, line.part.unit),
          quantity_note: line.quantityNote ?? '',
          unit: line.part.unit,
          class: line.part.partClass,
          indenture: number(line.indenture),
          attaches: line.attaches ?? '',
          order_item: line.orderItem ?? '',
          serial_from: line.serialFrom ?? '',
          serial_to: line.serialTo ?? '',
          serials: line.serialRanges === null ? '' : serialRangesPrint(lineRowBreaks(line)),
          side: line.side ?? '',
          note: line.note ?? '',
        }
      }
    }
  }
}

async function* stockRows(): AsyncGenerator<RowOut> {
  const db = database()
  const bins = await db.bin.findMany({
    // What is on the way between two stores lies in no bin that anybody could count.
    where: { kind: { not: 'on-the-way' } },
    include: { store: true },
    orderBy: [{ storeId: 'asc' }, { walkOrder: 'asc' }, { id: 'asc' }],
  })
  for (const bin of bins) {
    const balances = paged((last: { partId: number } | null) =>
      db.balance.findMany({
        where: { binId: bin.id, quantity: { gt: 0 }, partId: { gt: last?.partId ?? 0 } },
        include: { part: { select: { maker: true, number: true, description: true, unit: true } } },
        orderBy: { partId: 'asc' },
        take: PAGE,
      }),
    )
    const batches = await binBatches(bin.id)
    for await (const { partId, part, quantity: onHand } of balances) {
      const lots = (batches.get(partId) ?? []).map((lot) => ({
        batch: lot.code,
        use_by: lot.expiresOn ?? '',
        of: lot.quantity,
      }))
      const loose = onHand - lots.reduce((sum, lot) => sum + lot.of, 0)
      const none = { batch: '', use_by: '', of: loose }
      for (const { of, ...batch } of loose > 0 ? [...lots, none] : lots)
        yield {
          store: bin.store.name,
          store_kind: bin.store.kind,
          bin: bin.code,
          walk_order: number(bin.walkOrder),
          maker: part.maker,
          number: part.number,
          description: part.description,
          ...batch,
          quantity: quantity(of, part.unit),
          unit: part.unit,
          book_quantity: quantity(of, part.unit),
        }
    }
  }
}

async function* supplierRows(home: string): AsyncGenerator<RowOut> {
  const db = database()
  for (const supplier of await db.supplier.findMany({ orderBy: { id: 'asc' } })) {
    const head = {
      supplier: supplier.name,
      contact: supplier.contact ?? '',
      email: supplier.email ?? '',
      our_number: supplier.customerNumber ?? '',
      order_days: (supplier.orderDays ?? '').replaceAll(',', ' '),
      lead_time_days: number(supplier.leadTimeDays),
      minimum_order: money(supplier.minimumOrderMinor),
      carriage: money(supplier.carriageMinor),
      carriage_paid_from: money(supplier.carriagePaidFromMinor),
      note: supplier.note ?? '',
      discount: supplier.discountHundredths === 0 ? '' : String(supplier.discountHundredths / 100),
      currency: supplier.currency ?? home,
    }
    const offers = paged((last: { partId: number } | null) =>
      db.offer.findMany({
        where: { supplierId: supplier.id, partId: { gt: last?.partId ?? 0 }, withdrawnAt: null },
        include: { part: { select: { maker: true, number: true, unit: true } } },
        orderBy: { partId: 'asc' },
        take: PAGE,
      }),
    )
    let isAlone = true
    for await (const { part, ...offer } of offers) {
      isAlone = false
      yield {
        ...head,
        maker: part.maker,
        number: part.number,
        supplier_number: offer.supplierNumber ?? '',
        pack: quantity(offer.pack, part.unit),
        minimum: quantity(offer.minimum, part.unit),
        price: money(offer.priceMinor),
        preferred: offer.preferred ? 'yes' : 'no',
        deposit: money(offer.depositMinor),
        return_days: number(offer.returnDays),
      }
    }
    if (isAlone) yield head
  }
}

/** Every price of every list, those that are over too: brought in again, they change nothing. */
async function* priceRows(home: string): AsyncGenerator<RowOut> {
  const db = database()
  for (const list of await db.priceList.findMany({ orderBy: { id: 'asc' }, include: { supplier: true } })) {
    type Last = { partId: number; fromQuantity: number } | null
    const prices = paged((last: Last) =>
      db.listPrice.findMany({
        where: {
          listId: list.id,
          OR: [
            { partId: { gt: last?.partId ?? 0 } },
            { partId: last?.partId ?? 0, fromQuantity: { gt: last?.fromQuantity ?? 0 } },
          ],
        },
        include: { offer: { include: { part: { select: { maker: true, number: true, unit: true } } } } },
        orderBy: [{ partId: 'asc' }, { fromQuantity: 'asc' }],
        take: PAGE,
      }),
    )
    // A withdrawn offer takes no prices; the file would be refused for them.
    for await (const { fromQuantity, priceMinor, offer } of prices)
      if (offer.withdrawnAt === null)
        yield {
          supplier: list.supplier.name,
          list: list.name,
          valid_from: list.validFrom,
          valid_until: list.validUntil ?? '',
          breaks: list.breakKind,
          source: list.source,
          maker: offer.part.maker,
          number: offer.part.number,
          supplier_number: offer.supplierNumber ?? '',
          from_quantity: quantity(fromQuantity, offer.part.unit),
          price: money(priceMinor),
          currency: list.supplier.currency ?? home,
        }
  }
}

async function* machineRows(): AsyncGenerator<RowOut> {
  const machines = paged((last: { id: number } | null) =>
    database().machine.findMany({
      where: { id: { gt: last?.id ?? 0 } },
      include: { model: true },
      orderBy: { id: 'asc' },
      take: PAGE,
    }),
  )
  for await (const { model, ...machine } of machines) {
    yield {
      model_maker: model.maker,
      model: model.name,
      model_kind: model.kind,
      fleet_number: machine.fleetNumber,
      name: machine.name,
      serial_number: machine.serialNumber ?? '',
      year: number(machine.year),
      hours: String(machine.hourTenths / 10),
    }
  }
}

/** Everything of a kind as a file in pieces, read page by page; what is written meanwhile may or may not be in it. */
export function exchangeExport(kind: Kind, format: TableFormat): AsyncGenerator<Uint8Array> {
  const { currency } = settingsRead()
  const rows = {
    parts: () => partRows(currency),
    'parts-lists': listRows,
    supersessions: supersessionRows,
    kits: kitRows,
    alternatives: alternativeRows,
    stock: stockRows,
    counts: countSheetRows,
    suppliers: () => supplierRows(currency),
    prices: () => priceRows(currency),
    machines: machineRows,
  } satisfies Record<Kind, () => AsyncGenerator<RowOut>>
  return tableBytes(kind, format, rows[kind]())
}
