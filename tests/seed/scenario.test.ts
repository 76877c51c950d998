import { createHash } from 'node:crypto'
import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { serialBreakCovers } from '../../lib/catalogue/serial-break.ts'
import { orderList } from '../../lib/db/buying.ts'
import { database, databaseClose } from '../../lib/db/client.ts'
import { demoFits, demoLoad } from '../../lib/db/demo.ts'
import { entryDigest } from '../../lib/db/job-close.ts'
import { needsAccept } from '../../lib/db/job-decide.ts'
import { jobPickList, jobTake } from '../../lib/db/job-parts.ts'
import { demoSignIn } from '../../lib/db/people.ts'
import { EntryContent } from '../../lib/job/service-book.ts'
import { secretMatches } from '../../lib/people/secret.ts'
import { balanceKey, ledgerBalances, ledgerFaults } from '../../lib/stock/ledger.ts'
import { type MovementFact, type MovementKind, movementSignFits } from '../../lib/stock/movement.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { calendarOf } from '../../seed/estate/calendar.ts'
import { FIGURES } from '../../seed/figures/index.ts'

const NOW = new Date('2026-11-25T09:30:00Z')
const folders: string[] = []
let pages: { file: ReturnType<(typeof FIGURES)[number]['figure']>['file']; svg: string }[] = []

/** An empty, migrated workshop of its own; from here on this process works in it. */
async function emptyWorkshop(): Promise<string> {
  await databaseClose()
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-demo-'))
  folders.push(folder)
  process.env.DATA_DIR = folder
  delete process.env.DATABASE_URL
  await migrateDeploy(join(folder, 'cotterbook.db'), { journal: 'delete' })
  return folder
}

/** One hash over every row of every table. */
async function contentHash(): Promise<string> {
  const db = database()
  const tables = await db.$queryRaw<{ name: string }[]>`
    SELECT name FROM sqlite_master WHERE type = 'table' AND name GLOB '[A-Z]*' ORDER BY name`
  const hash = createHash('sha256')
  for (const { name } of tables) {
    const rows = await db.$queryRawUnsafe<unknown[]>(`SELECT * FROM "${name}" ORDER BY rowid`)
    hash.update(
      `${name}\n${JSON.stringify(rows, (_, value: unknown) => (typeof value === 'bigint' ? Number(value) : value))}\n`,
    )
  }
  return hash.digest('hex')
}

/** Of the demo as it was loaded first, with the seed that people get. */
let firstHash = ''

beforeAll(async () => {
  pages = FIGURES.map(({ figure }) => {
    const { file, svg } = figure()
    return { file, svg }
  })
  await emptyWorkshop()
  const loaded = await demoLoad({ now: NOW, pages })
  firstHash = await contentHash()
  console.info(`The demo took ${loaded.seconds.toFixed(1)} s to load, the drawing of its figures not counted.`)
}, 400_000)

afterAll(async () => {
  await databaseClose()
  for (const folder of folders) rmSync(folder, { recursive: true, force: true })
})

describe('what the demo estate has', () => {
  it('has fourteen machines of eight models, every drawn figure and more than 400 parts', async () => {
    const db = database()
    expect(await db.machineModel.count()).toBe(8)
    expect(await db.machine.count()).toBeGreaterThanOrEqual(14)
    expect(await db.figure.count()).toBe(FIGURES.length)
    expect(await db.part.count()).toBeGreaterThanOrEqual(400)
    expect(await db.supplier.count()).toBe(5)
    expect(await db.store.count()).toBe(2)
    expect(await db.bin.count()).toBeGreaterThanOrEqual(100)
  })

  it('keeps each picture as a file beside the database', async () => {
    const files = readdirSync(join(process.env.DATA_DIR!, 'pictures'))
    const pictures = await database().picture.findMany()
    expect(files.sort()).toEqual(pictures.map((picture) => `${picture.id}.${picture.extension}`).sort())
  })

  it('has three years of work: hundreds of jobs, thousands of movements of every kind', async () => {
    const db = database()
    const jobs = await db.job.count()
    expect(jobs).toBeGreaterThanOrEqual(300)
    expect(jobs).toBeLessThanOrEqual(550)
    const kinds = await db.movement.groupBy({ by: ['kind'], _count: true })
    expect(kinds.reduce((sum, kind) => sum + kind._count, 0)).toBeGreaterThanOrEqual(3000)
    expect(kinds.map(({ kind }) => kind).sort()).toEqual(
      ['count-difference', 'issue', 'receive', 'return', 'reversal', 'scrap', 'transfer-in', 'transfer-out'].sort(),
    )
    const first = await db.job.findFirstOrThrow({ orderBy: { openedAt: 'asc' } })
    expect((NOW.getTime() - first.openedAt.getTime()) / 86_400_000).toBeGreaterThan(3 * 365 - 40)
    expect(await db.job.count({ where: { kind: 'service', state: 'closed' } })).toBeGreaterThanOrEqual(30)
  })

  it('has machines on both sides of every serial break of a model with two or more, and one without a serial number', async () => {
    const db = database()
    const lines = await db.partsListLine.findMany({
      where: { OR: [{ serialFrom: { not: null } }, { serialTo: { not: null } }] },
      include: { figure: { include: { models: { include: { model: { include: { machines: true } } } } } } },
    })
    let looked = 0
    for (const line of lines) {
      for (const { model } of line.figure.models) {
        const serials = model.machines.map((machine) => machine.serialNumber).filter((serial) => serial !== null)
        if (serials.length < 2) continue
        const answers = new Set(
          serials.map((serial) => serialBreakCovers({ from: line.serialFrom, to: line.serialTo }, serial)),
        )
        expect([...answers].sort()).toEqual(['applies', 'not'])
        looked += 1
      }
    }
    expect(looked).toBeGreaterThan(0)
    expect(await db.machine.count({ where: { serialNumber: null } })).toBe(1)
  })

  it('lets everybody sign in with the PIN that the sign-in screen prints', async () => {
    const people = await demoSignIn()
    expect(people!.length).toBe(6)
    expect(people!.some((person) => person.roles.length === 4)).toBe(true)
    for (const { name, secret } of people!) {
      const person = await database().person.findFirstOrThrow({ where: { name } })
      expect(await secretMatches(secret, person.secretHash)).toBe(true)
    }
  })
})

describe('the demo’s books', () => {
  it('has a ledger that runs forward in time, never falls below zero and sums up to the balances', async () => {
    const db = database()
    const movements = await db.movement.findMany({ orderBy: { id: 'asc' } })
    expect(ledgerFaults(movements as MovementFact[])).toEqual([])
    expect(movements.filter((row) => !movementSignFits(row.kind as MovementKind, row.quantity))).toEqual([])
    expect(movements.filter((row, at) => at > 0 && row.at < movements[at - 1]!.at)).toEqual([])
    expect(movements.at(-1)!.at < NOW).toBe(true)
    const sums = [...ledgerBalances(movements)].filter(([, quantity]) => quantity !== 0).sort()
    const balances = await db.balance.findMany({ where: { quantity: { not: 0 } } })
    expect(balances.map((row) => [balanceKey(row.partId, row.binId), row.quantity] as const).sort()).toEqual(sums)
    const keys = new Set((await db.write.findMany({ select: { key: true } })).map((write) => write.key))
    expect(movements.filter((row) => !keys.has(row.writeKey))).toEqual([])
  })

  it('has taken for each need, and received on each order line, what the ledger says', async () => {
    const db = database()
    const movements = await db.movement.findMany()
    const sum = (pick: (row: (typeof movements)[number]) => number | null) => {
      const sums = new Map<number, number>()
      for (const row of movements) {
        const id = pick(row)
        if (id !== null) sums.set(id, (sums.get(id) ?? 0) + row.quantity)
      }
      return sums
    }
    const taken = sum((row) => row.needId)
    const received = sum((row) => row.orderLineId)
    const needs = await db.jobNeed.findMany({ include: { job: true } })
    expect(needs.filter((need) => need.taken !== -(taken.get(need.id) ?? 0))).toEqual([])
    expect(
      needs.filter(
        (need) =>
          need.job.state === 'closed' &&
          need.state === 'accepted' &&
          need.partId !== null &&
          need.taken !== need.wanted,
      ),
    ).toEqual([])
    const lines = await db.purchaseOrderLine.findMany()
    expect(
      lines.filter((line) => line.received !== (received.get(line.id) ?? 0) || line.received > line.quantity),
    ).toEqual([])
  })

  it('has an entry for every closed job, with its own digest and the money of the ledger', async () => {
    const db = database()
    const jobs = await db.job.findMany({
      where: { state: 'closed' },
      include: { entry: true, movements: { include: { part: true } } },
    })
    expect(jobs.filter((job) => job.entry === null)).toEqual([])
    const entries = await db.serviceBookEntry.findMany()
    expect(entries.filter((entry) => entryDigest(entry.content) !== entry.digest)).toEqual([])
    expect(entries.filter((entry) => entry.correctsId !== null).length).toBe(2)
    for (const entry of entries) EntryContent.parse(JSON.parse(entry.content))
    for (const job of jobs.slice(0, 120)) {
      const ledger = job.movements.reduce((total, row) => {
        const cost = Math.round(((row.costMinor ?? 0) * Math.abs(row.quantity)) / (row.part.unit === 'each' ? 1 : 1000))
        return total + (row.quantity < 0 ? cost : -cost)
      }, 0)
      expect((JSON.parse(job.entry!.content) as EntryContent).partsCostMinor).toBe(ledger)
      expect(job.closedAt! >= job.openedAt).toBe(true)
    }
  })

  it('has hour meters that never run backwards and stand on the machine as last read', async () => {
    const machines = await database().machine.findMany({
      include: { readings: { orderBy: [{ at: 'asc' }, { id: 'asc' }] } },
    })
    for (const { readings, hourTenths } of machines) {
      expect(readings.length).toBeGreaterThan(36)
      expect(readings.filter((row, at) => at > 0 && row.hourTenths < readings[at - 1]!.hourTenths)).toEqual([])
      expect(readings.at(-1)!.hourTenths).toBe(hourTenths)
    }
  })
})

describe('today in the demo', () => {
  it('has one order late, one half received and one on its way', async () => {
    const orders = await database().purchaseOrder.findMany({ where: { state: 'ordered' }, include: { lines: true } })
    expect(orders.length).toBe(3)
    expect(orders.filter((order) => order.dueOn < NOW.toISOString().slice(0, 10)).length).toBe(1)
    expect(orders.filter((order) => order.lines.some((line) => line.received > 0)).length).toBe(1)
  })

  it('shows the buyer between 15 and 45 lines, each with its reason', async () => {
    const lines = (await orderList()).flatMap((group) => group.lines)
    expect(lines.length).toBeGreaterThanOrEqual(15)
    expect(lines.length).toBeLessThanOrEqual(45)
    expect(lines.filter((line) => line.reason === '' || line.quantity <= 0)).toEqual([])
  })

  it('has an unsafe trailer whose brake shoes are short and on an order that is late', async () => {
    if (!FIGURES.some(({ slug }) => slug === 'trailer-hub-brake')) return
    const unsafe = await database().machine.findFirstOrThrow({
      where: { state: 'unsafe' },
      include: { jobs: { where: { state: 'open' } } },
    })
    const { short } = await jobPickList(unsafe.jobs[0]!.id)
    const shoes = await database().part.findFirstOrThrow({
      where: { partClass: 'brake-shoe', maker: 'Dunmarrow' },
      include: { orderLines: { where: { order: { state: 'ordered' } } } },
    })
    expect(short.some((line) => line.partId === shoes.id)).toBe(true)
    expect(shoes.orderLines.reduce((sum, line) => sum + line.quantity - line.received, 0)).toBe(8)
  })

  // Changes the workshop: stands after everything that only looks at it.
  it('lets the mower job be walked through: all of it lies on the shelf, and taking it brings the nuts to the list', async () => {
    if (!FIGURES.some(({ slug }) => slug === 'mower-rotor')) return
    const job = await database().job.findFirstOrThrow({
      where: { state: 'open', complaint: { startsWith: 'Mower shakes' } },
    })
    const nuts = await database().part.findFirstOrThrow({ where: { partClass: 'knife-nut' } })
    const listed = async () =>
      (await orderList()).flatMap((group) => group.lines).find((line) => line.partId === nuts.id)
    expect(await listed()).toBeUndefined()
    const context = (key: string) => ({ key, personId: job.openedById, now: NOW })
    await needsAccept(context('walk-accept'), { jobId: job.id, strength: ['must', 'should', 'consider'] })
    const { lines, short } = await jobPickList(job.id)
    expect(short).toEqual([])
    await jobTake(context('walk-take-1'), {
      jobId: job.id,
      lines: lines.map(({ needId, binId, quantity }) => ({ needId, binId, quantity })),
    })
    expect((await listed())!.reason).toBe(`2 left after job ${job.number}, reorder point 4`)
  })
})

describe('loading the demo', () => {
  it('is refused when anything is there, and changes nothing', async () => {
    expect(await demoFits()).toBe(false)
    const before = await contentHash()
    await expect(demoLoad({ now: NOW, pages })).rejects.toMatchObject({ code: 'demo/not-empty' })
    expect(await contentHash()).toBe(before)
  })

  it('gives the same rows for the same seed and day', async () => {
    await emptyWorkshop()
    await demoLoad({ now: NOW, pages })
    expect(await contentHash()).toBe(firstHash)
  }, 240_000)

  it('leaves the database and the pictures as they were when it fails half way', async () => {
    const folder = await emptyWorkshop()
    const before = await contentHash()
    const broken = [
      ...pages.slice(0, 1),
      { file: { ...pages[0]!.file, number: '9-99', positions: [{ code: 'LH', label: '' }] }, svg: pages[0]!.svg },
    ]
    await expect(demoLoad({ now: NOW, pages: broken })).rejects.toMatchObject({ code: 'import/refused' })
    expect(await contentHash()).toBe(before)
    expect(readdirSync(join(folder, 'pictures'))).toEqual([])
    expect(readdirSync(folder).filter((name) => name.includes('scratch'))).toEqual([])
    expect(await demoFits()).toBe(true)
  }, 60_000)

  it('holds in every season and without any drawn figure', async () => {
    for (const [now, own] of [
      ['2027-03-02T00:10:00Z', pages],
      ['2025-07-31T22:50:00Z', []],
    ] as const) {
      await emptyWorkshop()
      const loaded = await demoLoad({ now: new Date(now), pages: own })
      expect(loaded.jobs).toBeGreaterThanOrEqual(300)
      expect(await database().purchaseOrder.count({ where: { state: 'ordered' } })).toBe(3)
      expect(ledgerFaults((await database().movement.findMany({ orderBy: { id: 'asc' } })) as MovementFact[])).toEqual(
        [],
      )
      const lines = (await orderList()).flatMap((group) => group.lines)
      expect(lines.length).toBeGreaterThanOrEqual(15)
      expect(lines.length).toBeLessThanOrEqual(45)
    }
  }, 120_000)
})

describe('the calendar of the demo', () => {
  it('starts on the first of a month three years back and ends a day or two before now', () => {
    const calendar = calendarOf(NOW)
    expect(calendar.start.toISOString()).toBe('2023-11-01T00:00:00.000Z')
    const gapHours = (NOW.getTime() - calendar.end.getTime()) / 3_600_000
    expect(gapHours).toBeGreaterThanOrEqual(24)
    expect(gapHours).toBeLessThan(48)
  })
})
