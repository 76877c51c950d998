import { createClient } from '@libsql/client'
import { randomChance, randomInteger, randomSeeded } from '../../lib/maths/random.ts'
import { sinkOpen } from './sink.ts'
import { DAYS, instant, LINES_PER_FIGURE } from './sizes.ts'

const PARTS_PER_MODEL = 200
const LINES_PER_PART = 2.5
const MACHINES_PER_MODEL = 2
const DAYS_PER_MONTH = 30

/**
 * Machines with meters, parts lists over the parts, offers and levels, into a database that has a ledger (`ledgerGenerate`): what a
 * reckoning of all levels reads beside it. The same every time.
 */
export async function fleetGenerate(databaseFile: string, parts: number): Promise<void> {
  const client = createClient({ url: `file:${databaseFile}` })
  const sink = await sinkOpen(client)
  const random = randomSeeded('bench fleet')
  const models = Math.max(1, Math.round(parts / PARTS_PER_MODEL))
  const figures = Math.max(1, Math.round((parts * LINES_PER_PART) / LINES_PER_FIGURE))
  try {
    await sink.add('Picture', {
      id: 'bench-picture',
      mediaType: 'image/svg+xml',
      extension: 'svg',
      width: 1600,
      height: 1200,
      bytes: 60_000,
      createdAt: instant(0),
    })
    for (let id = 1; id <= models; id++)
      await sink.add('MachineModel', {
        id,
        maker: 'Bench & Sons',
        name: `Type ${id}`,
        key: `bench${id}`,
        kind: 'tipping trailer',
      })
    for (let id = 1; id <= models * MACHINES_PER_MODEL; id++) {
      const perMonth = randomInteger(random, 50, 1800)
      const months = Math.floor(DAYS / DAYS_PER_MONTH)
      await sink.add('Machine', {
        id,
        modelId: 1 + (id % models),
        fleetNumber: `B-${id}`,
        fleetKey: `b${id}`,
        name: 'Trailer',
        serialNumber: `A${randomInteger(random, 1, 999)}`,
        year: 2015,
        hourTenths: 20_000 + perMonth * months,
      })
      for (let month = 0; month <= months; month++)
        await sink.add('HourReading', {
          machineId: id,
          hourTenths: 20_000 + perMonth * month,
          at: instant(month * DAYS_PER_MONTH),
        })
    }
    for (let id = 1; id <= figures; id++) {
      await sink.add('Figure', {
        id,
        title: `Assembly ${id}`,
        pictureId: 'bench-picture',
        width: 1600,
        height: 1200,
        positions: id % 3 === 0 ? '[{"code":"LH","label":"left"},{"code":"RH","label":"right"}]' : '[]',
        tests: '[]',
        createdAt: instant(0),
      })
      const modelId = 1 + (id % models)
      await sink.add('FigureOfModel', { modelId, figureId: id, number: `F-${id}`, numberKey: `f${id}` })
      for (let at = 1; at <= LINES_PER_FIGURE; at++)
        await sink.add('PartsListLine', {
          figureId: id,
          sort: at,
          item: String(at),
          partId: randomInteger(random, 1, parts),
          description: 'Part',
          quantity: randomInteger(random, 1, 8),
          indenture: 1,
          serialFrom: randomChance(random, 0.1) ? 'A500' : null,
          serialTo: null,
          facts: '{}',
        })
    }
    for (let id = 1; id <= 5; id++)
      await sink.add('Supplier', {
        id,
        name: `Supplier ${id}`,
        nameKey: `supplier ${id}`,
        leadTimeDays: id * 4,
        minimumOrderMinor: 5_000,
        carriageMinor: 950,
        carriagePaidFromMinor: 25_000,
      })
    for (let partId = 1; partId <= parts; partId++) {
      if (randomChance(random, 0.8))
        await sink.add('Offer', {
          supplierId: 1 + (partId % 5),
          partId,
          supplierNumber: `${100_000 + partId}`,
          pack: 5,
          minimum: 5,
          priceMinor: randomInteger(random, 40, 90_000),
          preferred: 1,
        })
      if (randomChance(random, 0.3)) {
        const reorderPoint = randomInteger(random, 0, 9)
        const level = { partId, reorderPoint, orderUpTo: reorderPoint + randomInteger(random, 1, 20) }
        await sink.add('StockLevel', { ...level, reason: 'bench', setAt: instant(0) })
      }
    }
    await sink.done()
    await client.execute('ANALYZE')
    await client.execute('PRAGMA wal_checkpoint(TRUNCATE)')
  } finally {
    client.close()
  }
}
