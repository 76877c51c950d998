import { partNumberKey } from '../catalogue/part-number.ts'
import type { MachineAddInput } from '../machine/schema.ts'
import { Refusal } from '../refusal.ts'
import { database } from './client.ts'
import type { Prisma } from './generated/prisma/client.ts'
import { type MeterNote, meterNotes, meterRead } from './meter.ts'
import type { Signature } from './secret-confirm.ts'
import { type WriteContext, write } from './transaction.ts'

export interface MachineRow {
  id: number
  fleetNumber: string
  name: string
  model: { id: number; name: string; kind: string }
  serialNumber: string | null
  year: number | null
  state: string
  stateReason: string | null
  hourTenths: number
  /** When the meter was last read. */
  readAt: Date | null
  openJobs: number
}

const withModel = {
  model: true,
  readings: { orderBy: [{ at: 'desc' }, { id: 'desc' }], take: 1, select: { at: true } },
  _count: { select: { jobs: { where: { state: 'open' } } } },
} as const satisfies Prisma.MachineInclude

function row(machine: {
  id: number
  fleetNumber: string
  name: string
  serialNumber: string | null
  year: number | null
  state: string
  stateReason: string | null
  hourTenths: number
  model: { id: number; maker: string; name: string; kind: string }
  readings: { at: Date }[]
  _count: { jobs: number }
}): MachineRow {
  const { _count, model, readings, ...rest } = machine
  return {
    ...rest,
    readAt: readings[0]?.at ?? null,
    model: { id: model.id, name: `${model.maker} ${model.name}`, kind: model.kind },
    openJobs: _count.jobs,
  }
}

export async function machinesList(): Promise<MachineRow[]> {
  const rows = await database().machine.findMany({ include: withModel, orderBy: { fleetKey: 'asc' } })
  return rows.map(row)
}

export async function machineRead(machineId: number): Promise<MachineRow> {
  const machine = await database().machine.findUnique({ where: { id: machineId }, include: withModel })
  if (!machine) throw new Refusal('machine/no-such', { machine: machineId })
  return row(machine)
}

/** Readings of the machine's meter that were kept with a reason. */
export function machineMeterNotes(machineId: number): Promise<MeterNote[]> {
  return meterNotes(database(), { machineId })
}

export async function modelRead(modelId: number) {
  const model = await database().machineModel.findUnique({
    where: { id: modelId },
    include: { machines: { orderBy: { fleetKey: 'asc' } } },
  })
  if (!model) throw new Refusal('machine/no-such', { machine: `model ${modelId}` })
  return model
}

/** Models with the number of their figures, for the list of parts books. */
export async function modelsList() {
  const rows = await database().machineModel.findMany({
    include: { _count: { select: { figures: true, machines: true } } },
    orderBy: [{ kind: 'asc' }, { maker: 'asc' }, { name: 'asc' }],
  })
  return rows.map(({ _count, ...model }) => ({ ...model, figures: _count.figures, machines: _count.machines }))
}

/** Enters a machine into the fleet. Fleet numbers are unique whatever their case and dashes. */
export function machineAdd(context: WriteContext, input: MachineAddInput): Promise<{ machineId: number }> {
  return write(context, 'machine.add', input, async (tx) => {
    const model = await tx.machineModel.findUnique({ where: { id: input.modelId }, select: { id: true } })
    if (!model) throw new Refusal('machine/no-such', { machine: `model ${input.modelId}` })
    const fleetKey = partNumberKey(input.fleetNumber)
    const taken = await tx.machine.findUnique({ where: { fleetKey }, select: { name: true } })
    if (fleetKey === '')
      throw new Refusal(
        'input/invalid',
        { what: 'the fleet number has no letter and no digit' },
        { fields: { fleetNumber: 'use letters or digits' } },
      )
    if (taken)
      throw new Refusal(
        'machine/fleet-taken',
        { fleetNumber: input.fleetNumber, name: taken.name },
        { fields: { fleetNumber: 'choose another one' } },
      )
    const machine = await tx.machine.create({
      data: {
        modelId: model.id,
        fleetNumber: input.fleetNumber,
        fleetKey,
        name: input.name,
        serialNumber: input.serialNumber || null,
        year: input.year ?? null,
      },
    })
    return { machineId: machine.id }
  })
}

/** A reading off the meter. One that cannot follow the last is a mistake or a new meter, and the person must say which. */
export function machineHours(
  context: WriteContext,
  input: { machineId: number; hourTenths: number; meterReason?: string | undefined },
): Promise<null> {
  return write(context, 'machine.hours', input, async (tx) => {
    const machine = await tx.machine.findUnique({ where: { id: input.machineId } })
    if (!machine) throw new Refusal('machine/no-such', { machine: input.machineId })
    await meterRead(tx, context, machine, { hourTenths: input.hourTenths, reason: input.meterReason })
    return null
  })
}

export function machineState(
  context: WriteContext,
  input: { machineId: number; state: 'working' | 'unsafe'; reason?: string },
  signature: Signature | null = null,
): Promise<null> {
  return write(context, 'machine.state', input, async (tx) => {
    const found = await tx.machine.findUnique({ where: { id: input.machineId }, select: { name: true, state: true } })
    if (!found) throw new Refusal('machine/no-such', { machine: input.machineId })
    // Otherwise this form would be the way round the signature that closing the job asks for.
    if (found.state === 'unsafe' && input.state === 'working' && signature?.personId !== context.personId)
      throw new Refusal('job/not-signed', { machine: found.name }, { fields: { secret: 'your PIN or password' } })
    await tx.machine.update({
      where: { id: input.machineId },
      data: { state: input.state, stateReason: input.state === 'working' ? null : (input.reason ?? null) },
    })
    return null
  })
}
