import type { ModelKey } from '../../seed/estate/machines.ts'
import { MECHANICS } from '../../seed/estate/people.ts'
import { type ServicePlan, servicePlansOf } from '../../seed/estate/services.ts'
import { MODELS } from '../../seed/figures/makers.ts'
import type { PartClass } from '../catalogue/part-class.ts'
import { must } from '../must.ts'
import { database } from './client.ts'
import { partIds, refKey } from './demo-estate.ts'
import type { EstateRead } from './demo-read.ts'
import { actLineAdd, itemLineAdd, partLineAdd, scheduleSave } from './service-schedule.ts'
import { inTransaction, type WriteContext } from './transaction.ts'

type MachineRead = EstateRead['input']['machines'][number]

/** Plans the services of each model as on the screen, and writes down what the services of three years found. */
export async function servicesMake(estate: EstateRead, start: Date): Promise<void> {
  const models = await database().machineModel.findMany({ orderBy: { id: 'asc' } })
  const ids = await inTransaction((tx) => partIds(tx))
  for (const key of Object.keys(MODELS) as ModelKey[]) {
    const model = models.find((one) => one.maker === MODELS[key].maker && one.name === MODELS[key].name)
    const machines = estate.input.machines.filter((machine) => machine.model === key)
    if (!model || machines.length === 0) continue
    for (const [at, plan] of servicePlansOf(key).entries()) {
      const scheduleId = await scheduleMake(plan, { modelId: model.id, machines, ids, start, key: `${key}-${at}` })
      await historyMake(plan, scheduleId, machines)
    }
  }
}

async function scheduleMake(
  plan: ServicePlan,
  on: {
    modelId: number
    machines: readonly MachineRead[]
    ids: ReadonlyMap<string, number>
    start: Date
    key: string
  },
): Promise<number> {
  let step = 0
  const context = (): WriteContext => {
    step += 1
    return { key: `demo-service-${on.key}-${step}`, personId: MECHANICS[0], now: on.start }
  }
  const { name, everyHours, everyMonths, toleranceHours, toleranceDays } = plan
  const { scheduleId } = await scheduleSave(context(), {
    modelId: on.modelId,
    name,
    everyHours,
    everyMonths,
    toleranceHours,
    toleranceDays,
  })
  for (const { part, quantity } of plan.takes) {
    const partId = on.ids.get(refKey(part))
    must(partId !== undefined, `the estate keeps ${part.maker} ${part.number}`)
    await partLineAdd(context(), { scheduleId, kind: 'always', partId, quantity })
  }
  const looked = new Set<string>()
  for (const { figures } of on.machines)
    for (const figure of figures)
      for (const line of figure.lines) {
        const place = `${figure.id} ${line.item}`
        if (looked.has(place) || !plan.looksAt.includes(line.partClass as PartClass)) continue
        looked.add(place)
        const { item } = line
        await itemLineAdd(context(), { scheduleId, kind: 'on-condition', figureId: figure.id, item, positions: [] })
      }
  for (const text of plan.acts) await actLineAdd(context(), { scheduleId, text })
  return scheduleId
}

/** The service jobs of the past: what they renewed was found worn, what else is looked at was good. */
async function historyMake(plan: ServicePlan, scheduleId: number, machines: readonly MachineRead[]): Promise<void> {
  await inTransaction(async (tx) => {
    const lines = await tx.serviceLine.findMany({ where: { scheduleId }, orderBy: { sort: 'asc' } })
    for (const machine of machines) {
      const has = new Set(machine.figures.flatMap((figure) => figure.lines.map((line) => `${figure.id} ${line.item}`)))
      const jobs = await tx.job.findMany({
        where: {
          machineId: machine.machineId,
          kind: 'service',
          state: 'closed',
          OR: plan.doneBy.map((beginning) => ({ complaint: { startsWith: beginning } })),
        },
        orderBy: { id: 'asc' },
        include: { targets: true },
      })
      for (const job of jobs) {
        const at = job.closedAt!
        const read = await tx.hourReading.findFirstOrThrow({
          where: { machineId: machine.machineId, at: { lte: at } },
          orderBy: [{ at: 'desc' }, { id: 'desc' }],
        })
        await tx.serviceOfJob.create({ data: { jobId: job.id, scheduleId } })
        await tx.serviceDone.create({
          data: { scheduleId, machineId: machine.machineId, jobId: job.id, at, hourTenths: read.hourTenths },
        })
        const renewed = new Set(job.targets.map((target) => `${target.figureId} ${target.item}`))
        await tx.serviceTask.createMany({
          data: lines
            .filter((line) => line.kind === 'act' || (line.kind === 'on-condition' && has.has(placeOf(line))))
            .map((line, sort) => ({
              jobId: job.id,
              lineId: line.id,
              kind: line.kind === 'act' ? 'act' : 'look',
              sort,
              text: line.item === null ? line.text : `${line.item} ${line.text}`,
              state: line.kind === 'act' ? 'done' : renewed.has(placeOf(line)) ? 'renewed' : 'good',
              doneAt: at,
              doneById: job.closedById,
            })),
        })
      }
    }
  })
}

function placeOf(line: { figureId: number | null; item: string | null }): string {
  return `${line.figureId} ${line.item}`
}
