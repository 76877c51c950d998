import type { PlainDate } from '../service/plain-date.ts'
import type { WinterAnswer, WorkAnswer } from './answer.ts'
import type { WinterFacts } from './facts.ts'
import type { SureWait } from './late.ts'
import type { WinterPlanned } from './plan.ts'
import type { WeekWhy } from './weeks.ts'

/** A machine of a plan as its screens show it. */
export interface MachineView {
  id: number
  fleetNumber: string
  name: string
  services: { name: string; dueOn: PlainDate | null }[]
  weekOn: PlainDate | null
  why: WeekWhy
  /** Day by which its parts are wanted. */
  wantedOn: PlainDate
  /** Its services and its open jobs together; null while it is being reckoned. */
  now: number | null
  bought: number | null
  /** What it lacks or may lack for its services and open jobs. */
  lacks: WorkAnswer['lacks']
  /** What it waits for whatever is bought; null where nothing is known to be too late. */
  waits: SureWait | null
  jobs: { id: number; number: number }[]
}

export interface WeekView {
  on: PlainDate
  isShut: boolean
  room: number
  machines: MachineView[]
}

export interface WinterView {
  weeks: WeekView[]
  /** Machines without a week. */
  without: MachineView[]
  machines: MachineView[]
  /** Open jobs of machines that do not come in. */
  otherJobs: { job: { id: number; number: number }; machineId: number; work: WorkAnswer | null }[]
}

/** A part that a service and a job lack stands there once, with the worse chance. */
function lacksOnce(lacks: WorkAnswer['lacks']): WorkAnswer['lacks'] {
  const worst = new Map<number, WorkAnswer['lacks'][number]>()
  for (const one of lacks) if (!(one.now >= (worst.get(one.partId)?.now ?? 2))) worst.set(one.partId, one)
  return [...worst.values()].sort((a, b) => a.now - b.now)
}

/** The plan by week and by machine. */
export function winterView(facts: WinterFacts, planned: WinterPlanned, answer: WinterAnswer | null): WinterView {
  const answers = new Map(answer?.works.map((one) => [one.id, one]))
  const chances = new Map(answer?.machines.map((one) => [one.machineId, one]))
  const waits = new Map(answer?.waits.map((one) => [one.machineId, one]))
  const placeOf = new Map(planned.places.map((one) => [one.id, one]))
  const machines = facts.machines.map(({ id, fleetNumber, name, services }): MachineView => {
    const works = planned.works.filter(({ machineId }) => machineId === id)
    const { weekOn, why } = placeOf.get(id)!
    return {
      id,
      fleetNumber,
      name,
      services,
      weekOn,
      why,
      wantedOn: works[0]!.wantedOn,
      // What needs no part at all is in no answer, and waits for none.
      now: answer === null ? null : (chances.get(id)?.now ?? 1),
      bought: answer === null ? null : (chances.get(id)?.bought ?? 1),
      lacks: lacksOnce(works.flatMap((work) => answers.get(work.id)?.lacks ?? [])),
      waits: waits.get(id) ?? null,
      jobs: works.flatMap(({ job }) => (job === null ? [] : [job])),
    }
  })
  const isIn = new Set(machines.map(({ id }) => id))
  return {
    weeks: planned.weeks.map(({ on, day, room }) => ({
      on,
      isShut: day === null,
      room,
      machines: machines.filter(({ weekOn }) => weekOn === on),
    })),
    without: machines.filter(({ weekOn }) => weekOn === null),
    machines,
    otherJobs: planned.works.flatMap(({ job, machineId, id }) =>
      job === null || isIn.has(machineId) ? [] : [{ job, machineId, work: answers.get(id) ?? null }],
    ),
  }
}
