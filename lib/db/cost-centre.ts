import { partNumberKey } from '../catalogue/part-number.ts'
import type { CentreBudgetInput, CentreInput, CentreMachinesInput } from '../cost-centre/schema.ts'
import { Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { type WriteContext, write } from './transaction.ts'

export interface CentreView {
  id: number
  code: string
  name: string
  isClosed: boolean
  machines: { id: number; fleetNumber: string; name: string }[]
}

/** All cost centres with their machines: open ones first, by code. */
export async function costCentres(): Promise<CentreView[]> {
  const rows = await database().costCentre.findMany({
    orderBy: { codeKey: 'asc' },
    include: {
      machines: {
        include: { machine: { select: { id: true, fleetNumber: true, name: true } } },
        orderBy: { machine: { fleetKey: 'asc' } },
      },
    },
  })
  return rows
    .map(({ id, code, name, closedAt, machines }) => ({
      id,
      code,
      name,
      isClosed: closedAt !== null,
      machines: machines.map(({ machine }) => machine),
    }))
    .sort((a, b) => Number(a.isClosed) - Number(b.isClosed))
}

async function centreOf(tx: Tx, centreId: number) {
  const centre = await tx.costCentre.findUnique({ where: { id: centreId } })
  if (!centre) throw new Refusal('cost-centre/no-such')
  return centre
}

async function centreOpen(tx: Tx, centreId: number) {
  const centre = await centreOf(tx, centreId)
  if (centre.closedAt !== null) throw new Refusal('cost-centre/closed', { code: centre.code })
  return centre
}

/** Makes a cost centre or gives one another code or name. Refuses with 'cost-centre/code-taken'. */
export function costCentreSave(context: WriteContext, input: CentreInput): Promise<{ centreId: number }> {
  return write(context, 'cost-centre.save', input, async (tx) => {
    const { centreId, code, name } = input
    const codeKey = partNumberKey(code)
    if (codeKey === '')
      throw new Refusal('input/invalid', { what: 'code' }, { fields: { code: 'at least one letter or digit' } })
    const same = await tx.costCentre.findUnique({ where: { codeKey } })
    if (same && same.id !== centreId)
      throw new Refusal(
        'cost-centre/code-taken',
        { code: same.code, name: same.name },
        { fields: { code: 'choose another code' } },
      )
    if (centreId === undefined) return { centreId: (await tx.costCentre.create({ data: { code, codeKey, name } })).id }
    await centreOf(tx, centreId)
    await tx.costCentre.update({ where: { id: centreId }, data: { code, codeKey, name } })
    return { centreId }
  })
}

/** Closes a cost centre, which then has no machine, or opens it again; budgets and what was spent stay. */
export function costCentreClose(context: WriteContext, input: { centreId: number }): Promise<{ isClosed: boolean }> {
  return write(context, 'cost-centre.close', input, async (tx) => {
    const centre = await centreOf(tx, input.centreId)
    const closedAt = centre.closedAt === null ? context.now : null
    await tx.costCentre.update({ where: { id: centre.id }, data: { closedAt } })
    if (closedAt !== null) await tx.machineCentre.deleteMany({ where: { centreId: centre.id } })
    return { isClosed: closedAt !== null }
  })
}

/** Says which machines a cost centre has: those named come to it from wherever they were, all others of it leave it. */
export function costCentreMachines(context: WriteContext, input: CentreMachinesInput): Promise<null> {
  return write(context, 'cost-centre.machines', input, async (tx) => {
    const { centreId, machineIds } = input
    await centreOpen(tx, centreId)
    const known = new Set((await tx.machine.findMany({ select: { id: true } })).map(({ id }) => id))
    const strange = machineIds.find((id) => !known.has(id))
    if (strange !== undefined) throw new Refusal('machine/no-such', { machine: strange })
    const set = { centreId, setAt: context.now, setById: context.personId }
    const asked = new Set(machineIds)
    for (const { machineId } of await tx.machineCentre.findMany({ where: { centreId } }))
      if (!asked.has(machineId)) await tx.machineCentre.delete({ where: { machineId } })
    for (const machineId of asked)
      await tx.machineCentre.upsert({ where: { machineId }, create: { machineId, ...set }, update: set })
    return null
  })
}

/** Sets what a cost centre may spend in the season of a plan; null takes its budget away. */
export function centreBudgetSet(context: WriteContext, input: CentreBudgetInput): Promise<null> {
  return write(context, 'cost-centre.budget', input, async (tx) => {
    const { planId, centreId, budget } = input
    if (!(await tx.winterPlan.findUnique({ where: { id: planId }, select: { id: true } })))
      throw new Refusal('winter/no-such')
    if (budget === null) {
      await centreOf(tx, centreId)
      await tx.centreBudget.deleteMany({ where: { planId, centreId } })
      return null
    }
    await centreOpen(tx, centreId)
    const set = { amountMinor: budget, setAt: context.now, setById: context.personId }
    const where = { planId_centreId: { planId, centreId } }
    await tx.centreBudget.upsert({ where, create: { planId, centreId, ...set }, update: set })
    return null
  })
}
