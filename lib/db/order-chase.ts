import { type Chase, chaseOf } from '../buying/chase.ts'
import type { OrderCallInput } from '../buying/confirm-schema.ts'
import { lineDueOn } from '../buying/due-day.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { dateOf, type PlainDate } from '../service/plain-date.ts'
import { buyingSettings } from './buying-settings.ts'
import { database, type Tx } from './client.ts'
import { jobsWaiting } from './jobs-waiting.ts'
import { linesStillDue, orderOpen } from './order-confirm.ts'
import { orderEvent } from './order-event.ts'
import { personNames } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

export interface HeldUp {
  id: number
  number: number
  machineId: number
  machine: string
  /** The machine may not be used. */
  isUnsafe: boolean
}

/** Open orders with something still due that ask for a call on this day, those that should have been chased longest first. */
async function chased(today: PlainDate) {
  const [orders, { confirmDays }] = await Promise.all([
    database().purchaseOrder.findMany({
      where: { state: 'ordered' },
      include: {
        supplier: true,
        lines: { orderBy: { id: 'asc' } },
        events: { where: { kind: 'called' }, orderBy: { id: 'desc' } },
      },
    }),
    buyingSettings(),
  ])
  return orders
    .flatMap((order) => {
      const lines = order.lines.filter((line) => line.quantity > line.received + line.cancelled)
      const orderedOn = dateOf(order.orderedAt)
      const called = order.events[0]
      const facts = { orderedOn, dueOn: order.dueOn, lines, calledOn: called ? dateOf(called.at) : null }
      const chase = chaseOf(facts, today, confirmDays)
      return chase === null ? [] : [{ order, orderedOn, lines, chase }]
    })
    .sort((a, b) => (a.chase.since < b.chase.since ? -1 : a.chase.since > b.chase.since ? 1 : a.order.id - b.order.id))
}

/** How many orders ask for a call. */
export async function chaseCount(today: PlainDate): Promise<number> {
  return (await chased(today)).length
}

export interface ChaseRow {
  orderId: number
  number: number
  chase: Chase
  orderedOn: PlainDate
  supplierReference: string | null
  supplier: {
    id: number
    name: string
    contact: string | null
    email: string | null
    customerNumber: string | null
  }
  lines: {
    id: number
    partId: number
    number: string
    supplierNumber: string | null
    description: string
    unit: StockUnit
    due: number
    dueOn: PlainDate
    isConfirmed: boolean
  }[]
  /** Jobs that wait for what is due, and their machines. */
  heldUp: HeldUp[]
  /** Newest first. */
  calls: { id: number; at: Date; person: string; words: string; promisedOn: PlainDate | null }[]
}

/** Whom to call: each order with its supplier, its lines, what it holds up and what was said before. */
export async function chaseList(today: PlainDate): Promise<ChaseRow[]> {
  const db = database()
  const rows = await chased(today)
  const partIds = [...new Set(rows.flatMap(({ lines }) => lines.map((line) => line.partId)))]
  const [waiting, parts, names] = await Promise.all([
    jobsWaiting(partIds),
    db.part.findMany({ where: { id: { in: partIds } }, include: { offers: true } }),
    personNames(
      db as unknown as Tx,
      rows.flatMap(({ order }) => order.events.map((event) => event.personId)),
    ),
  ])
  const jobIds = [...new Set([...waiting.values()].flatMap((jobs) => jobs.map((job) => job.id)))]
  const jobs = await db.job.findMany({ where: { id: { in: jobIds } }, include: { machine: true } })
  const jobOf = new Map(jobs.map((job) => [job.id, job]))
  const partOf = new Map(parts.map((part) => [part.id, part]))
  return rows.map(({ order, orderedOn, lines, chase }) => ({
    orderId: order.id,
    number: order.number,
    chase,
    orderedOn,
    supplierReference: order.supplierReference,
    supplier: order.supplier,
    lines: lines.map((line) => {
      const part = partOf.get(line.partId)!
      return {
        id: line.id,
        partId: line.partId,
        number: part.number,
        supplierNumber: part.offers.find((one) => one.supplierId === order.supplierId)?.supplierNumber ?? null,
        description: part.description,
        unit: part.unit as StockUnit,
        due: line.quantity - line.received - line.cancelled,
        dueOn: lineDueOn(line, order.dueOn),
        isConfirmed: line.confirmedOn !== null,
      }
    }),
    heldUp: [...new Set(lines.flatMap((line) => (waiting.get(line.partId) ?? []).map((job) => job.id)))].map((id) => {
      const { number, machine } = jobOf.get(id)!
      return {
        ...{ id, number, machineId: machine.id },
        machine: `${machine.fleetNumber} ${machine.name}`,
        isUnsafe: machine.state === 'unsafe',
      }
    }),
    calls: order.events.map(({ id, at, personId, words, promisedOn }) => ({
      ...{ id, at, words: words ?? '', promisedOn },
      person: names(personId),
    })),
  }))
}

/** Keeps what was said on the telephone; with a new day the chosen lines are looked for then. Refuses as a confirmation does. */
export function orderCall(context: WriteContext, input: OrderCallInput): Promise<null> {
  return write(context, 'buying.call', input, async (tx) => {
    const order = await orderOpen(tx, input.orderId)
    const { promisedOn, words } = input
    if (promisedOn !== null) {
      if (promisedOn < dateOf(context.now))
        throw new Refusal(
          'input/invalid',
          { what: 'the promised day is past' },
          { fields: { promisedOn: 'enter today or a later day' } },
        )
      if (input.lineIds.length === 0) throw new Refusal('buying/nothing-promised')
      for (const line of linesStillDue(order, input.lineIds))
        await tx.purchaseOrderLine.update({ where: { id: line.id }, data: { promisedOn } })
    }
    await orderEvent(tx, context, {
      orderId: order.id,
      kind: 'called',
      words,
      ...(promisedOn === null ? {} : { promisedOn }),
    })
    return null
  })
}
