import type { Rule } from '../../lib/companion/rule.ts'
import type { PartOnFile } from '../../lib/companion/suggest.ts'
import type { PlanFigure, PlanLine } from '../../lib/job/plan-figure.ts'
import { type Random, randomChance, randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { WEAR, type Wearing, wearExpected, wearFailures } from '../wear.ts'
import { type Calendar, calendarDate, calendarMonth, calendarWeekday } from './calendar.ts'
import { type ExtraNeed, type JobDraft, jobDraftPlan, type TargetDraft } from './job-draft.ts'
import type { SpareRef } from './machine-spares.ts'
import { MODEL_USE, type ModelKey } from './machines.ts'
import { type Mode, modesOf } from './modes.ts'
import { SERVICE_RENEWS, SERVICE_TAKES, TROUBLES, type Trouble } from './spare-wear.ts'

/** A machine with the figures of its model, lines already chosen by its serial number. */
export interface MachineOnFile {
  machineId: number
  model: ModelKey
  fleetNumber: string
  hoursAtStart: number
  figures: readonly PlanFigure[]
}

/** What the catalogue knows of a part that a job may take. */
export interface PartKnown {
  partId: number
  description: string
}

export interface WorkInput {
  calendar: Calendar
  seed: string
  machine: MachineOnFile
  hoursAtDayEnd: readonly number[]
  rules: readonly Rule[]
  shelf: readonly PartOnFile[]
  partOf: (ref: SpareRef) => PartKnown
}

/** Something that wears, with what a job on it aims at. */
interface Wearer extends Wearing {
  mode: readonly Mode[]
  description: string
  item: string | null
  aim: (random: Random) => { targets: TargetDraft[]; extra: ExtraNeed[]; where: string }
}

const SIDES: Record<string, string> = { LH: 'left', RH: 'right' }

function lineWearers(model: ModelKey, figure: PlanFigure, line: PlanLine): Wearer[] {
  const wear = WEAR[line.partClass]
  const mode = modesOf(line.partClass, [`${model} ${figure.number}`, model])
  if (!wear || mode.length === 0) return []
  const stations = line.facts.stations
  const base = { figureId: figure.id, lineId: line.lineId, item: line.item }
  const head = { mode, description: line.description, item: line.item }
  if (stations !== undefined) {
    const aim = (random: Random) => {
      const station = randomInteger(random, 1, Math.floor(stations / 2))
      // Half the mechanics aim at both knives of the pair at once; the others are told about the opposite one.
      const both = randomChance(random, 0.5)
      const positions = both ? [String(station), String(station + Math.floor(stations / 2))] : [String(station)]
      return {
        targets: [{ ...base, positions, quantity: positions.length }],
        extra: [],
        where: positions.join(' and '),
      }
    }
    // Any of the stations may be hit: the more there are, the sooner the first one is.
    return [
      {
        ...head,
        key: `${figure.number}/${line.item}/${line.partId}`,
        wear: { ...wear, scaleHours: wear.scaleHours / Math.sqrt(stations / 6) },
        aim,
      },
    ]
  }
  const positions = figure.positions.length === 0 ? [null] : figure.positions
  return positions
    .filter((position) => position === null || line.side === undefined || position.code === line.side)
    .map((position) => ({
      ...head,
      key: `${figure.number}/${line.item}/${line.partId}/${position?.code ?? ''}`,
      wear,
      aim: () => ({
        targets: [{ ...base, positions: position ? [position.code] : [], quantity: line.quantity }],
        extra: [],
        where: position ? (SIDES[position.code] ?? position.label.toLowerCase()) : 'here',
      }),
    }))
}

function extraOf(takes: Trouble['takes'], partOf: WorkInput['partOf']): ExtraNeed[] {
  return takes.map(({ part, quantity }) => ({ ...partOf(part), quantity }))
}

function troubleWearer(model: ModelKey, trouble: Trouble, partOf: WorkInput['partOf']): Wearer[] {
  const wear = WEAR[trouble.partClass]
  const mode = modesOf(trouble.partClass, [`${model}/${trouble.key}`, model])
  if (!wear || mode.length === 0) return []
  const extra = extraOf(trouble.takes, partOf)
  return [
    {
      key: `spare/${trouble.key}`,
      wear,
      mode,
      description: extra[0]!.description,
      item: null,
      aim: () => ({ targets: [], extra, where: 'here' }),
    },
  ]
}

function filled(text: string, wearer: Pick<Wearer, 'description' | 'item'>, where: string): string {
  const said = text
    .replaceAll('{part}', wearer.description.split(',')[0]!.toLowerCase())
    .replaceAll('{item}', wearer.item ?? '')
    .replaceAll('{where}', where)
  return said.charAt(0).toUpperCase() + said.slice(1)
}

/** Monday for what happens on a Sunday: then the workshop opens again. */
function workday(calendar: Calendar, day: number): number {
  return calendarWeekday(calendar, day) === 0 ? day + 1 : day
}

/** The repairs of one machine over the whole history. */
export function repairDrafts(input: WorkInput): JobDraft[] {
  const { machine, calendar, seed, hoursAtDayEnd, partOf } = input
  const use = MODEL_USE[machine.model]
  const wearers = [
    ...machine.figures.flatMap((figure) => figure.lines.flatMap((line) => lineWearers(machine.model, figure, line))),
    ...TROUBLES[machine.model].flatMap((trouble) => troubleWearer(machine.model, trouble, partOf)),
  ]
  const byKey = new Map(wearers.map((wearer) => [wearer.key, wearer]))
  // However many figures are drawn, a machine comes in about as often as one of its model does.
  const severity = use.repairsPerYear / Math.max(0.1, wearExpected([...byKey.values()], use.hoursPerYear))
  const failures = wearFailures({
    wearing: [...byKey.values()],
    hoursAtStart: machine.hoursAtStart,
    hoursAtDayEnd,
    severity,
    randomOf: (key) => randomSeeded(`${seed}/wear/${machine.fleetNumber}/${key}`),
  })
  return failures
    .map((failure, at): JobDraft => {
      const random = randomSeeded(`${seed}/repair/${machine.fleetNumber}/${at}`)
      const wearer = byKey.get(failure.key)!
      const aim = wearer.aim(random)
      const mode = randomPick(random, wearer.mode)
      const text = (list: readonly string[]) => filled(randomPick(random, list), wearer, aim.where)
      return {
        machineId: machine.machineId,
        day: workday(calendar, failure.day),
        kind: 'repair',
        complaint: text(mode.complaint),
        cause: text(mode.cause),
        correction: text(mode.correction),
        labourMinutes: randomInteger(random, mode.labourMinutesLeast / 5, mode.labourMinutesMost / 5) * 5,
        targets: aim.targets,
        ...jobDraftPlan({
          figures: machine.figures,
          targets: aim.targets,
          extra: aim.extra,
          rules: input.rules,
          shelf: input.shelf,
          random,
        }),
      }
    })
    .filter((draft) => draft.day < calendar.days)
}

function serviceTargets(machine: MachineOnFile, random: Random): TargetDraft[] {
  return machine.figures.flatMap((figure) =>
    figure.lines.flatMap((line): TargetDraft[] => {
      if (!randomChance(random, SERVICE_RENEWS[line.partClass] ?? 0)) return []
      const base = { figureId: figure.id, lineId: line.lineId, item: line.item }
      const stations = line.facts.stations
      if (stations !== undefined) {
        const first = randomInteger(random, 1, Math.floor(stations / 2) - 2)
        const positions = [0, 1, 2]
          .flatMap((more) => [first + more, first + more + Math.floor(stations / 2)])
          .map(String)
        return [{ ...base, positions, quantity: positions.length }]
      }
      const positions = figure.positions
        .map((position) => position.code)
        .filter((code) => line.side === undefined || code === line.side)
      return [{ ...base, positions, quantity: line.quantity * Math.max(1, positions.length) }]
    }),
  )
}

/** Winter services from November to February, and one in July for what runs all summer. */
export function serviceDrafts(input: WorkInput): JobDraft[] {
  const { machine, calendar, seed, partOf } = input
  const drafts: JobDraft[] = []
  for (let first = 0; first < calendar.days; first++) {
    const date = calendarDate(calendar, first)
    if (date.getUTCDate() !== 1) continue
    const month = calendarMonth(calendar, first)
    const summer = month === 6 && ['tractor74', 'tractor92', 'telehandler'].includes(machine.model)
    if (month !== 10 && !summer) continue
    const year = date.getUTCFullYear()
    const random = randomSeeded(`${seed}/service/${machine.fleetNumber}/${year}/${month}`)
    const day = workday(calendar, first + (summer ? randomInteger(random, 2, 24) : randomInteger(random, 4, 110)))
    if (day >= calendar.days) continue
    const targets = summer ? [] : serviceTargets(machine, random)
    const takes = SERVICE_TAKES[machine.model]
    drafts.push({
      machineId: machine.machineId,
      day,
      kind: 'service',
      complaint: summer ? `Summer service ${year}` : `Winter service ${year}/${String(year + 1).slice(2)}`,
      cause: summer ? 'Due by hours' : 'Due before the season',
      correction: `${targets.length === 0 ? 'Oils and filters changed, greased all round' : 'Stripped as far as the plan asks, worn parts renewed, oils and filters changed, greased all round'}. Fixings, hoses and guards looked over.`,
      labourMinutes: randomInteger(random, 24, 72) * 5,
      targets,
      ...jobDraftPlan({
        figures: machine.figures,
        targets,
        extra: extraOf(takes, partOf),
        rules: input.rules,
        shelf: input.shelf,
        random,
      }),
    })
  }
  return drafts
}
