import { batchElements } from '../label/gs1-write.ts'
import { type LabelOf, labelCode } from '../label/label-code.ts'
import type { LabelText } from '../label/label-layout.ts'
import { dayCode } from '../stock/batch.ts'
import { database } from './client.ts'

/** Labels of one kind: the ones named, or all of a store, of an order. */
export interface LabelQuestion {
  of: LabelOf
  ids: readonly number[]
  storeId: number | null
  orderId: number | null
}

export interface Labelled extends LabelText {
  id: number
}

/** Some dozens of sheets; whoever wants more prints a store at a time. */
export const LABELS_MAX = 2000

const READ: Record<LabelOf, (question: LabelQuestion) => Promise<Labelled[]>> = {
  bin: binLabels,
  part: partLabels,
  machine: machineLabels,
  batch: batchLabels,
}

/** What each label says, in the order in which a person sticks them on: bins as they are walked past, parts by number. */
export function labelsRead(question: LabelQuestion): Promise<Labelled[]> {
  return READ[question.of](question)
}

async function binLabels({ ids, storeId }: LabelQuestion): Promise<Labelled[]> {
  if (ids.length === 0 && storeId === null) return []
  const bins = await database().bin.findMany({
    where: { closedAt: null, ...(ids.length > 0 ? { id: { in: [...ids] } } : { storeId: storeId! }) },
    include: { store: true },
    orderBy: [{ store: { name: 'asc' } }, { walkOrder: 'asc' }, { id: 'asc' }],
    take: LABELS_MAX,
  })
  return bins.map(({ id, code, store }) => ({
    id,
    kind: 'bin',
    code: labelCode('bin', id),
    lead: code,
    lines: [store.name],
  }))
}

async function partLabels({ ids, storeId, orderId }: LabelQuestion): Promise<Labelled[]> {
  if (ids.length === 0 && storeId === null && orderId === null) return []
  const parts = await database().part.findMany({
    where:
      ids.length > 0
        ? { id: { in: [...ids] } }
        : orderId !== null
          ? { orderLines: { some: { orderId } } }
          : { balances: { some: { quantity: { gt: 0 }, bin: { storeId: storeId! } } } },
    orderBy: [{ numberKey: 'asc' }, { id: 'asc' }],
    take: LABELS_MAX,
  })
  return parts.map(({ id, number, description, maker }) => ({
    id,
    kind: 'part',
    code: labelCode('part', id),
    lead: number,
    lines: [description, maker],
  }))
}

/** The whole fleet where none is named. */
async function machineLabels({ ids }: LabelQuestion): Promise<Labelled[]> {
  const machines = await database().machine.findMany({
    where: ids.length > 0 ? { id: { in: [...ids] } } : {},
    include: { model: true },
    orderBy: { fleetKey: 'asc' },
    take: LABELS_MAX,
  })
  return machines.map(({ id, fleetNumber, name, serialNumber, model }) => ({
    id,
    kind: 'machine',
    code: labelCode('machine', id),
    lead: fleetNumber,
    lines: [name, `${model.maker} ${model.name}`, ...(serialNumber ? [`S/N ${serialNumber}`] : [])],
  }))
}

/** Packs of the batches that lie in a store, by part and day. */
async function batchLabels({ ids, storeId }: LabelQuestion): Promise<Labelled[]> {
  if (ids.length === 0 && storeId === null) return []
  const batches = await database().batch.findMany({
    where:
      ids.length > 0
        ? { id: { in: [...ids] } }
        : { balances: { some: { quantity: { gt: 0 }, bin: { storeId: storeId! } } } },
    include: { part: { include: { offers: { select: { supplierNumber: true } } } } },
    orderBy: [{ part: { numberKey: 'asc' } }, { partId: 'asc' }, { expiresOn: 'asc' }, { id: 'asc' }],
    take: LABELS_MAX,
  })
  return batches.map(({ id, code, expiresOn, part }) => {
    const isDay = expiresOn !== null && code === dayCode(expiresOn)
    const supplierNumbers = part.offers.flatMap(({ supplierNumber }) => supplierNumber ?? [])
    const gs1 = batchElements({ number: part.number, supplierNumbers }, { code: isDay ? '' : code, expiresOn })
    return {
      id,
      kind: 'batch',
      code: labelCode('part', part.id),
      ...(gs1 === null ? {} : { gs1 }),
      lead: part.number,
      lines: [
        ...(isDay ? [] : [`Batch ${code}`]),
        ...(expiresOn === null ? [] : [`Use by ${expiresOn}`]),
        part.description,
      ],
    }
  })
}
