import { createHash } from 'node:crypto'
import { copyFileSync, mkdirSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { SqliteAdapter } from '../../lib/db/adapter.ts'
import { orderPlace, orderRead } from '../../lib/db/buying.ts'
import { database, databaseClose } from '../../lib/db/client.ts'
import { creditEnter } from '../../lib/db/credit.ts'
import { oldUnitKeep, returnAnswer, returnSend } from '../../lib/db/deposit.ts'
import { differenceDecide, invoiceEnter } from '../../lib/db/invoice.ts'
import { movementPlace } from '../../lib/db/ledger.ts'
import { binChange } from '../../lib/db/place.ts'
import { orderReceive } from '../../lib/db/receiving.ts'
import { stockCount, stockIssue, stockReceive, stockReverse, stockTransfer } from '../../lib/db/stock.ts'
import { inTransaction, write } from '../../lib/db/transaction.ts'
import type { EntryContent } from '../../lib/job/service-book.ts'
import { guardsOf, migrationsRead } from '../../prisma/engine.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter } from '../support/database.ts'

export const migrations = migrationsRead()
export const guards = guardsOf(migrations)

const PICTURE = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="40" height="30"/>')
export const PICTURE_ID = createHash('sha256').update(PICTURE).digest('hex')

const ENTRY: EntryContent = {
  version: 1,
  machine: { fleetNumber: 'T7', name: 'Grain trailer', model: 'Thornley & Pike T8', serialNumber: null },
  job: { number: 1, kind: 'repair', openedAt: '2026-10-01T07:00:00.000Z', openedBy: 'Wendel Harrow' },
  complaint: 'Left brake drags',
  cause: 'Return spring broken',
  correction: 'Spring renewed',
  labourMinutes: 60,
  fitted: [],
  acts: [],
  declined: [],
  tests: [],
  partsCostMinor: 0,
  currency: 'GBP',
}

const TESTS = JSON.stringify([{ key: 0, text: 'Wheel turns freely.', eachSide: false, stage: 'release' }])

/**
 * A small workshop with one of everything that is proved: a receipt against an order, a transfer, an issue and its
 * reversal, a closed job that took two springs, a batch, a superseded part, a picture and a figure with a saved strip order
 * and list of tests, a count that found one too few and one that agreed, an exchange part whose first old unit was credited in
 * part and whose second is kept; of its order one invoice of which a dearer price was
 * accepted, one entered too early, and one of which a credit note gave something back.
 */
export async function soundWorkshop(picturesDir: string): Promise<void> {
  const person = await aPerson('Wendel Harrow')
  const [bin, van] = [await aBin('A-01'), await aBin('V-01', 'Van one')]
  const [spring, old, older] = [
    await aPart({ number: 'TX-1' }),
    await aPart({ number: 'TX-2' }),
    await aPart({ number: 'TX-3' }),
  ]
  const at = new Date('2026-10-02T09:00:00Z')
  const made = await inTransaction(async (tx) => {
    const maker = 'Thornley & Pike'
    const model = await tx.machineModel.create({
      data: { maker, name: 'T8', key: 'thornleypiket8', kind: 'tipping trailer' },
    })
    const machine = await tx.machine.create({
      data: { modelId: model.id, fleetNumber: 'T7', fleetKey: 't7', name: 'Grain trailer' },
    })
    await tx.machine.create({ data: { modelId: model.id, fleetNumber: 'T9', fleetKey: 't9', name: 'Hay trailer' } })
    const job = await tx.job.create({
      data: { number: 1, machineId: machine.id, complaint: 'Left brake drags', openedAt: at, openedById: person },
    })
    const need = await tx.jobNeed.create({
      data: {
        jobId: job.id,
        key: 'by-hand:1',
        origin: 'by-hand',
        kind: 'part',
        partId: spring,
        description: 'Return spring',
        strength: 'must',
        suggested: 2,
        wanted: 2,
        state: 'accepted',
      },
    })
    const supplier = await tx.supplier.create({
      data: { name: 'Harrow Supplies', nameKey: 'harrow supplies', leadTimeDays: 3 },
    })
    const order = await tx.purchaseOrder.create({
      data: { number: 1, supplierId: supplier.id, orderedAt: at, dueOn: '2026-10-09', personId: person },
    })
    const line = await tx.purchaseOrderLine.create({
      data: { orderId: order.id, partId: spring, quantity: 10, priceMinor: 250, reason: 'season' },
    })
    await tx.supersession.create({ data: { oldPartId: older, newPartId: old, interchange: 'one-way', createdAt: at } })
    await tx.supersession.create({ data: { oldPartId: old, newPartId: spring, interchange: 'one-way', createdAt: at } })
    await tx.picture.create({
      data: {
        id: PICTURE_ID,
        mediaType: 'image/svg+xml',
        extension: 'svg',
        width: 40,
        height: 30,
        bytes: PICTURE.byteLength,
        createdAt: at,
      },
    })
    const edges = [{ first: '1', then: '2' }]
    await tx.figure.create({
      data: {
        title: 'Hub',
        pictureId: PICTURE_ID,
        width: 40,
        height: 30,
        createdAt: at,
        stripEdges: { create: edges.map(({ first, then }) => ({ firstItem: first, thenItem: then })) },
        stripOrders: {
          create: { version: 1, content: JSON.stringify({ steps: [], edges }), personId: person, at },
        },
        tests: TESTS,
        testLists: {
          create: [
            { version: 0, content: '[]', at },
            { version: 1, content: TESTS, personId: person, at },
          ],
        },
      },
    })
    return { machine, job, need, line }
  })
  mkdirSync(picturesDir, { recursive: true })
  writeFileSync(join(picturesDir, `${PICTURE_ID}.svg`), PICTURE)

  const delivery = asWriter(person)
  await write(delivery, 'order.receive', {}, async (tx) => {
    await movementPlace(tx, delivery, 0, {
      kind: 'receive',
      partId: spring,
      binId: bin,
      quantity: 6,
      orderLineId: made.line.id,
    })
    await tx.purchaseOrderLine.update({ where: { id: made.line.id }, data: { received: 6 } })
    return null
  })
  await stockReceive(asWriter(person), { partId: old, binId: van, quantity: 3, costMinor: 450 })
  await stockTransfer(asWriter(person), { partId: spring, fromBinId: bin, toBinId: van, quantity: 1 })
  const wrong = await stockIssue(asWriter(person), { partId: spring, binId: bin, quantity: 2, reason: 'yard use' })
  await stockReverse(asWriter(person), { movementId: wrong.movementId, reason: 'wrong part' })
  const taking = asWriter(person)
  await write(taking, 'job.take', {}, async (tx) => {
    const need = { jobId: made.job.id, needId: made.need.id }
    await movementPlace(tx, taking, 0, { kind: 'issue', partId: spring, binId: bin, quantity: -2, ...need })
    await tx.jobNeed.update({ where: { id: made.need.id }, data: { taken: 2 } })
    return null
  })
  const mixed = asWriter(person)
  await write(mixed, 'test.batch', {}, async (tx) => {
    const batch = await tx.batch.create({ data: { partId: older, code: 'L-7', codeKey: 'l7' } })
    const line = { partId: older, binId: bin, batchId: batch.id }
    await movementPlace(tx, mixed, 0, { kind: 'receive', ...line, quantity: 5, costMinor: 120 })
    await movementPlace(tx, mixed, 1, { kind: 'issue', ...line, quantity: -2 })
    return null
  })
  const content = JSON.stringify(ENTRY)
  await inTransaction(async (tx) => {
    await tx.serviceBookEntry.create({
      data: {
        machineId: made.machine.id,
        jobId: made.job.id,
        writtenAt: at,
        personId: person,
        personName: 'Wendel Harrow',
        content,
        digest: createHash('sha256').update(content).digest('hex'),
      },
    })
    return tx.job.update({ where: { id: made.job.id }, data: { state: 'closed', closedAt: at, closedById: person } })
  })
  const [drum, counted] = [await aPart({ number: 'TX-4' }), await aBin('C-01')]
  await stockReceive(asWriter(person), { partId: drum, binId: counted, quantity: 9 })
  const count = { partId: drum, binId: counted, reason: 'one was cracked' }
  await stockCount(asWriter(person), { ...count, expected: 9, counted: 8 })
  await stockCount(asWriter(person), { ...count, expected: 8, counted: 8 })
  await exchangePart(person, bin)
}

async function exchangePart(person: string, binId: number): Promise<void> {
  const [partId, oldBin] = [await aPart({ number: 'TX-5', description: 'Starter' }), await aBin('OLD-1')]
  await binChange(asWriter(person), { binId: oldBin, code: 'OLD-1', kind: 'old-units', place: 1 })
  const { id: supplierId } = await database().supplier.findFirstOrThrow()
  await inTransaction((tx) =>
    tx.offer.create({ data: { supplierId, partId, priceMinor: 9000, depositMinor: 4000, returnDays: 30 } }),
  )
  const { orderId } = await orderPlace(asWriter(person), { supplierId, lines: [{ partId, quantity: 2 }] })
  const { id: lineId } = (await orderRead(orderId)).lines[0]!
  await orderReceive(asWriter(person), { orderId, lines: [{ lineId, binId, quantity: 2 }] })
  const keep = () => oldUnitKeep(asWriter(person), { partId, binId: oldBin, serialNumber: '', note: '' })
  const { unitId } = await keep()
  await keep()
  await returnSend(asWriter(person), { supplierId, unitIds: [unitId], words: '' })
  await returnAnswer(asWriter(person), { unitId, creditedMinor: 2500, state: 'accepted', reason: 'shaft worn' })
  await invoices(person, orderId, lineId)
}

/**
 * Invoice 1: two at 95.00 where 90.00 was agreed, accepted. Invoice 2: one more, which never came. Invoice 3: once more one
 * that never came, and 6.00 for carriage that nobody had agreed to; a credit note gives back 30.00 of its 90.00, and the carriage whole.
 */
async function invoices(person: string, orderId: number, lineId: number): Promise<void> {
  const enter = (number: string, quantity: number, priceMinor: number, carriageMinor = 0) => {
    const [goods, depositsMinor] = [quantity * priceMinor, quantity * 4000]
    return invoiceEnter(asWriter(person), {
      ...{ orderId, number, day: '2026-10-10', lines: [{ lineId, quantity, priceMinor }], carriageMinor },
      ...{ depositsMinor, taxThousandths: 0, taxMinor: 0, totalMinor: goods + depositsMinor + carriageMinor },
    })
  }
  const { invoiceId } = await enter('H-100', 2, 9500)
  await enter('H-101', 1, 9000)
  const { id } = await database().invoiceDifference.findFirstOrThrow({ where: { invoiceId } })
  await differenceDecide(asWriter(person), {
    differenceId: id,
    seen: 'open',
    as: 'accepted',
    reason: 'list of October',
  })
  const third = await enter('H-102', 1, 9000, 600)
  const [short, carriage] = await database().invoiceDifference.findMany({
    where: { invoiceId: third.invoiceId },
    orderBy: { id: 'asc' },
  })
  await creditEnter(asWriter(person, { now: new Date('2026-11-20T08:15:00Z') }), {
    ...{ invoiceId: third.invoiceId, alsoIds: [], number: 'G-7', day: '2026-10-20', back: [], sumMinor: null },
    lines: [
      { differenceId: short!.id, amountMinor: 3000 },
      { differenceId: carriage!.id, amountMinor: 600 },
    ],
    ...{ taxMinor: 0, totalMinor: 3600 },
  })
}

/** Writes to a database file past every guard: as a disk fault, or a hand in the file, would. */
export async function bend(file: string, sql: string): Promise<void> {
  const connection = await new SqliteAdapter(`file:${file}`).connect()
  try {
    const drop = [...guards.keys()].map((name) => `DROP TRIGGER IF EXISTS "${name}";`)
    await connection.executeScript(['PRAGMA foreign_keys = OFF;', ...drop, sql].join('\n'))
    for (const guard of guards.values()) await connection.executeScript(guard)
  } finally {
    await connection.dispose()
  }
}

/** A copy of the closed database under a name beside it. */
export async function twin(databaseFile: string, name: string): Promise<string> {
  await databaseClose()
  const file = join(dirname(databaseFile), `${name}.db`)
  copyFileSync(databaseFile, file)
  return file
}
