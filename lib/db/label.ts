import { type LabelKind, labelCode } from '../label/label-code.ts'
import type { LabelText } from '../label/label-layout.ts'
import { database } from './client.ts'

/** Labels of one kind: the ones named, or all of a store, of an order. */
export interface LabelQuestion {
  of: LabelKind
  ids: readonly number[]
  storeId: number | null
  orderId: number | null
}

export interface Labelled extends LabelText {
  id: number
}

/** Some dozens of sheets; whoever wants more prints a store at a time. */
export const LABELS_MAX = 2000

const READ: Record<LabelKind, (question: LabelQuestion) => Promise<Labelled[]>> = {
  bin: binLabels,
  part: partLabels,
  machine: machineLabels,
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
