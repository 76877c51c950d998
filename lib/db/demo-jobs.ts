import { BUYER, MECHANICS } from '../../seed/estate/people.ts'
import type { PartClass } from '../catalogue/part-class.ts'
import { must } from '../must.ts'
import { database } from './client.ts'
import { figureView } from './figure.ts'
import { jobOpen } from './job.ts'
import { jobCheckSet } from './job-check.ts'
import { needsAccept } from './job-decide.ts'
import { jobPickList, jobTake } from './job-parts.ts'
import type { WriteContext } from './transaction.ts'

const HOUR_MS = 3_600_000

interface Aim {
  partClass: PartClass
  positions: string[]
  quantity: number
}

interface OpenJob {
  key: string
  fleetNumber: string
  complaint: string
  hoursAgo: number
  personId: string
  unsafe?: boolean
  aim?: Aim
  /** How far it has come. */
  reached: 'opened' | 'accepted' | 'taken'
}

/** What is on the bench today. */
const OPEN_JOBS: readonly OpenJob[] = [
  {
    key: 'brake',
    fleetNumber: 'W-01',
    complaint: 'Trailer pulls to the right when braking, left drum stays cold',
    hoursAgo: 25,
    personId: MECHANICS[0],
    unsafe: true,
    aim: { partClass: 'brake-shoe', positions: ['LH'], quantity: 2 },
    reached: 'accepted',
  },
  {
    key: 'pump',
    fleetNumber: 'S-02',
    complaint: 'Oil in the pump turned milky, pressure falls after ten minutes',
    hoursAgo: 22,
    personId: MECHANICS[1],
    aim: { partClass: 'diaphragm', positions: [], quantity: 0 },
    reached: 'taken',
  },
  {
    key: 'knives',
    fleetNumber: 'M-01',
    complaint: 'Mower shakes at full revs, worse since the stump in row 14',
    hoursAgo: 3,
    personId: MECHANICS[0],
    aim: { partClass: 'flail-knife', positions: ['5', '9'], quantity: 2 },
    reached: 'opened',
  },
  {
    key: 'drip',
    fleetNumber: 'H-01',
    complaint: 'Drips oil at the foot of the boom, a hand-sized puddle overnight',
    hoursAgo: 1,
    personId: BUYER,
    reached: 'opened',
  },
]

/** The first line of the machine's figures that names a part of the class, as its serial number has it. */
async function lineFor(machine: { modelId: number; serialNumber: string | null }, partClass: PartClass) {
  const figures = await database().figureOfModel.findMany({
    where: { modelId: machine.modelId },
    orderBy: { figureId: 'asc' },
  })
  for (const { figureId } of figures) {
    const view = await figureView(database(), figureId, machine)
    const line = view.lines.find((one) => one.partClass === partClass)
    if (line) return { figureId, lineId: line.lineId, quantity: line.quantity }
  }
  return null
}

/** Opens today's jobs as a person would on the screen: through the same verbs, with keys of their own. */
export async function openJobsMake(now: Date): Promise<void> {
  for (const open of OPEN_JOBS) await openJobMake(open, now)
}

async function openJobMake(open: OpenJob, now: Date): Promise<void> {
  const machine = await database().machine.findUnique({
    where: { fleetKey: open.fleetNumber.replace('-', '').toLowerCase() },
  })
  must(machine, `the demo has machine ${open.fleetNumber}`)
  const at = new Date(now.getTime() - open.hoursAgo * HOUR_MS)
  const context = (step: string, minutes: number): WriteContext => ({
    key: `demo-open-${open.key}-${step}`,
    personId: open.personId,
    now: new Date(at.getTime() + minutes * 60_000),
  })
  const line = open.aim ? await lineFor(machine, open.aim.partClass) : null
  const { jobId } = await jobOpen(context('open', 0), {
    machineId: machine.id,
    complaint: open.complaint,
    kind: 'repair',
    hours: machine.hourTenths + 14,
    unsafe: open.unsafe === true,
    positions: line && open.aim ? open.aim.positions : [],
    ...(line && open.aim
      ? { figureId: line.figureId, lineId: line.lineId, quantity: open.aim.quantity || line.quantity }
      : {}),
  })
  if (!line || open.reached === 'opened') return
  await needsAccept(context('accept', 5), { jobId, strength: ['must', 'should'] })
  if (open.reached !== 'taken') return
  const { lines } = await jobPickList(jobId)
  if (lines.length > 0)
    await jobTake(context('take', 20), {
      jobId,
      lines: lines.map(({ needId, binId, quantity }) => ({ needId, binId, quantity })),
    })
  const strip = await database().jobCheck.findMany({ where: { jobId, kind: 'strip' }, orderBy: { sort: 'asc' } })
  for (const [index, check] of strip.entries())
    await jobCheckSet(context(`strip-${index}`, 30 + index * 4), { jobId, checkId: check.id, state: 'done' })
}
