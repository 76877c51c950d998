import { nameKey } from '../catalogue/part-number.ts'
import type { FigurePosition, LineFacts } from '../figure/schema.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { chanceSays, type Looked } from '../service/chance.ts'
import type { ActLineInput, ItemLineInput, PartLineInput, ScheduleInput } from '../service/schema.ts'
import { database, type Tx } from './client.ts'
import { type WriteContext, write } from './transaction.ts'

export type ServiceLineKind = 'always' | 'on-condition' | 'act'

export interface ServiceLineView {
  id: number
  kind: ServiceLineKind
  text: string
  figure: { id: number; number: string; title: string } | null
  item: string | null
  part: { id: number; number: string; unit: StockUnit } | null
  /** What is taken in its place today, where the number that stands here is superseded. */
  successor: { id: number; number: string } | null
  positions: string[]
  quantity: number | null
  /** What past services found; only for what is looked at. */
  chance: string | null
}

export interface ScheduleView {
  id: number
  name: string
  everyTenths: number | null
  everyMonths: number | null
  toleranceTenths: number
  toleranceDays: number
  /** What it takes of people's time, as somebody wrote. */
  labourMinutes: number | null
  lines: ServiceLineView[]
}

/**
 * How often each thing that is looked at had to be renewed at services that are closed, by the key of its line, and by the
 * class of its part; with `before` only what was looked at until then.
 */
export async function looksCounted(
  reader: Tx | ReturnType<typeof database>,
  before?: Date,
): Promise<{ own: Map<string, Looked>; ofClass: Map<string, Looked>; classOf: Map<string, string> }> {
  const tx = reader as Tx
  const lines = await tx.serviceLine.findMany({
    where: { kind: 'on-condition' },
    select: { id: true, key: true, figureId: true, item: true, part: { select: { partClass: true } } },
  })
  const classOf = new Map<string, string>()
  const places = lines.flatMap(({ figureId, item }) => (figureId === null || item === null ? [] : [{ figureId, item }]))
  const drawn = await tx.partsListLine.findMany({
    where: { OR: places },
    select: { figureId: true, item: true, part: { select: { partClass: true } } },
  })
  for (const { key, figureId, item, part } of lines) {
    const line = part ? { part } : drawn.find((one) => one.figureId === figureId && one.item === item)
    if (line) classOf.set(key, line.part.partClass)
  }
  const counts = await tx.serviceTask.groupBy({
    by: ['lineId', 'state'],
    where: {
      kind: 'look',
      state: { in: ['good', 'renewed'] },
      job: { state: 'closed' },
      ...(before ? { doneAt: { lt: before } } : {}),
    },
    _count: true,
  })
  const keyOf = new Map(lines.map((line) => [line.id, line.key]))
  const own = new Map<string, Looked>()
  const ofClass = new Map<string, Looked>()
  const add = (to: Map<string, Looked>, key: string, looked: number, renewed: number) => {
    const there = to.get(key) ?? { looked: 0, renewed: 0 }
    to.set(key, { looked: there.looked + looked, renewed: there.renewed + renewed })
  }
  for (const { lineId, state, _count } of counts) {
    const key = keyOf.get(lineId)
    if (key === undefined) continue
    const renewed = state === 'renewed' ? _count : 0
    add(own, key, _count, renewed)
    const partClass = classOf.get(key)
    if (partClass !== undefined) add(ofClass, partClass, _count, renewed)
  }
  return { own, ofClass, classOf }
}

const NEVER: Looked = { looked: 0, renewed: 0 }

/** Of a thing: its own looks, and those at others of its class. */
export function looksKnown(key: string, counted: Awaited<ReturnType<typeof looksCounted>>) {
  const own = counted.own.get(key) ?? NEVER
  const all = counted.ofClass.get(counted.classOf.get(key) ?? '') ?? own
  return { own, others: { looked: all.looked - own.looked, renewed: all.renewed - own.renewed } }
}

/** "renewed at 4 of 9, likely 45 %" for the key of a line. */
export function lookSays(key: string, counted: Awaited<ReturnType<typeof looksCounted>>): string {
  const { own, others } = looksKnown(key, counted)
  return chanceSays(own, others)
}

/** The services of a model with what each asks for. */
export async function schedulesOf(modelId: number): Promise<ScheduleView[]> {
  const db = database()
  const [schedules, counted] = await Promise.all([
    db.serviceSchedule.findMany({
      where: { modelId, retiredAt: null },
      orderBy: [{ everyTenths: 'asc' }, { everyMonths: 'asc' }, { id: 'asc' }],
      include: {
        lines: {
          where: { retiredAt: null },
          orderBy: [{ sort: 'asc' }, { id: 'asc' }],
          include: {
            part: { include: { replacedBy: { select: { new: { select: { id: true, number: true } } } } } },
            figure: { include: { models: true } },
          },
        },
      },
    }),
    looksCounted(db),
  ])
  return schedules.map(
    ({ lines, id, name, everyTenths, everyMonths, toleranceTenths, toleranceDays, labourMinutes }) => ({
      id,
      name,
      everyTenths,
      everyMonths,
      toleranceTenths,
      toleranceDays,
      labourMinutes,
      lines: lines.map((line) => ({
        id: line.id,
        kind: line.kind as ServiceLineKind,
        text: line.text,
        figure: line.figure && {
          id: line.figure.id,
          number: (line.figure.models.find((of) => of.modelId === modelId) ?? line.figure.models[0])?.number ?? '',
          title: line.figure.title,
        },
        item: line.item,
        part: line.part && { id: line.part.id, number: line.part.number, unit: line.part.unit as StockUnit },
        successor: line.part?.replacedBy[0]?.new ?? null,
        positions: JSON.parse(line.positions) as string[],
        quantity: line.quantity,
        chance: line.kind === 'on-condition' ? lookSays(line.key, counted) : null,
      })),
    }),
  )
}

async function scheduleOf(tx: Tx, scheduleId: number) {
  const schedule = await tx.serviceSchedule.findUnique({ where: { id: scheduleId } })
  if (!schedule || schedule.retiredAt !== null) throw new Refusal('service/no-such')
  return schedule
}

/** Makes a schedule, or changes how often it comes. A name that was given up may be used again and brings its schedule back. */
export function scheduleSave(context: WriteContext, input: ScheduleInput): Promise<{ scheduleId: number }> {
  return write(context, 'service.schedule', input, async (tx) => {
    const model = await tx.machineModel.findUnique({ where: { id: input.modelId }, select: { id: true } })
    if (!model) throw new Refusal('machine/no-such', { machine: `model ${input.modelId}` })
    const data = {
      name: input.name,
      nameKey: nameKey(input.name),
      everyTenths: input.everyHours ? input.everyHours * 10 : null,
      everyMonths: input.everyMonths || null,
      toleranceTenths: input.everyHours ? (input.toleranceHours ?? 0) * 10 : 0,
      toleranceDays: input.everyMonths ? (input.toleranceDays ?? 0) : 0,
      labourMinutes: input.labourHours ?? null,
    }
    const same = await tx.serviceSchedule.findUnique({
      where: { modelId_nameKey: { modelId: model.id, nameKey: data.nameKey } },
    })
    if (same && same.id !== input.scheduleId && (same.retiredAt === null || input.scheduleId !== undefined))
      throw new Refusal('service/name-taken', { name: same.name }, { fields: { name: 'choose another name' } })
    if (input.scheduleId !== undefined) {
      const schedule = await scheduleOf(tx, input.scheduleId)
      if (schedule.modelId !== model.id) throw new Refusal('service/no-such')
      await tx.serviceSchedule.update({ where: { id: schedule.id }, data })
      return { scheduleId: schedule.id }
    }
    const made = same
      ? await tx.serviceSchedule.update({ where: { id: same.id }, data: { ...data, retiredAt: null } })
      : await tx.serviceSchedule.create({ data: { ...data, modelId: model.id } })
    return { scheduleId: made.id }
  })
}

/** Nothing falls due by it any more. What was done by it stays in the books. */
export function scheduleRetire(context: WriteContext, input: { scheduleId: number }): Promise<null> {
  return write(context, 'service.retire', input, async (tx) => {
    const schedule = await scheduleOf(tx, input.scheduleId)
    await tx.serviceSchedule.update({ where: { id: schedule.id }, data: { retiredAt: context.now } })
    return null
  })
}

interface LinePlaced {
  key: string
  kind: ServiceLineKind
  figureId?: number
  item?: string
  partId?: number
  positions?: string[]
  quantity?: number
  text: string
}

/** A thing stands on a schedule once: entered again it is changed, and one that was taken off comes back with its history. */
async function linePlace(tx: Tx, scheduleId: number, line: LinePlaced): Promise<{ lineId: number }> {
  const last = await tx.serviceLine.findFirst({
    where: { scheduleId },
    orderBy: { sort: 'desc' },
    select: { sort: true },
  })
  const { key, positions = [], ...rest } = line
  const data = { ...rest, quantity: line.quantity ?? null, positions: JSON.stringify(positions), retiredAt: null }
  const placed = await tx.serviceLine.upsert({
    where: { scheduleId_key: { scheduleId, key } },
    create: { scheduleId, key, sort: (last?.sort ?? 0) + 1, ...data },
    update: data,
  })
  return { lineId: placed.id }
}

export function itemLineAdd(context: WriteContext, input: ItemLineInput): Promise<{ lineId: number }> {
  return write(context, 'service.item', input, async (tx) => {
    const schedule = await scheduleOf(tx, input.scheduleId)
    const figure = await tx.figure.findFirst({
      where: { id: input.figureId, models: { some: { modelId: schedule.modelId } } },
      include: { lines: { where: { item: input.item, retiredAt: null }, orderBy: { sort: 'asc' } } },
    })
    const line = figure?.lines[0]
    if (!figure || !line) throw new Refusal('figure/unknown-item', { item: input.item, where: 'this book' })
    const stations = (JSON.parse(line.facts) as LineFacts).stations
    const codes = (JSON.parse(figure.positions) as FigurePosition[]).map((position) => position.code)
    const strange = input.positions.find((code) => !codes.includes(code))
    if (strange !== undefined)
      throw new Refusal(
        'input/invalid',
        { what: `there is no position ${strange}` },
        { fields: { positions: 'choose one that is offered' } },
      )
    return linePlace(tx, schedule.id, {
      key: `item:${figure.id}:${line.item}`,
      kind: input.kind,
      figureId: figure.id,
      item: line.item,
      positions: stations === undefined ? input.positions : [],
      text: line.description,
    })
  })
}

export function partLineAdd(context: WriteContext, input: PartLineInput): Promise<{ lineId: number }> {
  return write(context, 'service.part', input, async (tx) => {
    const schedule = await scheduleOf(tx, input.scheduleId)
    const part = await tx.part.findUnique({ where: { id: input.partId } })
    if (!part) throw new Refusal('stock/unknown-part', { part: input.partId })
    return linePlace(tx, schedule.id, {
      key: `part:${part.id}`,
      kind: input.kind,
      partId: part.id,
      quantity: input.quantity,
      text: part.description,
    })
  })
}

export function actLineAdd(context: WriteContext, input: ActLineInput): Promise<{ lineId: number }> {
  return write(context, 'service.act', input, async (tx) => {
    const schedule = await scheduleOf(tx, input.scheduleId)
    return linePlace(tx, schedule.id, { key: `act:${nameKey(input.text)}`, kind: 'act', text: input.text })
  })
}

/** Off the schedule; what past services found of it is kept. */
export function serviceLineRemove(context: WriteContext, input: { scheduleId: number; lineId: number }): Promise<null> {
  return write(context, 'service.line-remove', input, async (tx) => {
    await scheduleOf(tx, input.scheduleId)
    const { count } = await tx.serviceLine.updateMany({
      where: { id: input.lineId, scheduleId: input.scheduleId, retiredAt: null },
      data: { retiredAt: context.now },
    })
    if (count === 0) throw new Refusal('service/no-such')
    return null
  })
}

export interface ItemOfModel {
  figureId: number
  /** Number and title. */
  figure: string
  item: string
  description: string
}

/** The items of all figures of a model, once each, in the order of the book. */
export async function itemsOfModel(modelId: number): Promise<ItemOfModel[]> {
  const figures = await database().figureOfModel.findMany({
    where: { modelId },
    include: {
      figure: {
        select: {
          title: true,
          lines: {
            where: { retiredAt: null },
            orderBy: { sort: 'asc' },
            select: { item: true, description: true },
          },
        },
      },
    },
  })
  return figures
    .sort((a, b) => a.number.localeCompare(b.number, 'en', { numeric: true }))
    .flatMap(({ figureId, number, figure }) =>
      [...new Map(figure.lines.map((line) => [line.item, line])).values()].map((line) => ({
        figureId,
        figure: `${number} ${figure.title}`,
        ...line,
      })),
    )
}
