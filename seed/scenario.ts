import type { Rule } from '../lib/companion/rule.ts'
import type { PartOnFile } from '../lib/companion/suggest.ts'
import { randomSeeded } from '../lib/maths/random.ts'
import { type Calendar, calendarDate, calendarWeekday, MINUTE_MS } from './estate/calendar.ts'
import { type Ending, listSettled, ordersStillDue, shelfEnds } from './estate/ending.ts'
import { historyOf } from './estate/history.ts'
import { hoursByDay } from './estate/hours.ts'
import { jobClosed } from './estate/job-close.ts'
import type { JobDraft } from './estate/job-draft.ts'
import {
  type Bench,
  benchPause,
  type JobOnBench,
  jobFetches,
  jobOpened,
  jobTakes,
  jobWants,
  type MachineHead,
} from './estate/job-run.ts'
import { type Ledger, ledgerNew } from './estate/ledger.ts'
import { levelOf, usesOf } from './estate/levels.ts'
import type { SpareRef } from './estate/machine-spares.ts'
import { MODEL_USE } from './estate/machines.ts'
import { orderBookNew, ordersRaise, ordersReceive, partsLow, type Stocked } from './estate/orders.ts'
import type { History, ReadingRow } from './estate/rows.ts'
import type { ScenarioPart } from './estate/scenario-part.ts'
import { shelfOpens, storeRound } from './estate/store-round.ts'
import { SUPPLIERS } from './estate/suppliers.ts'
import { type MachineOnFile, repairDrafts, serviceDrafts } from './estate/work.ts'

export interface ScenarioInput {
  seed: string
  calendar: Calendar
  currency: string
  rules: readonly Rule[]
  parts: readonly ScenarioPart[]
  machines: readonly (MachineOnFile & Omit<MachineHead, 'model'> & { modelName: string })[]
  /** Consumables and split pins that a suggestion may reach for. */
  shelf: readonly PartOnFile[]
  figures: readonly { id: number; name: string }[]
  ending: Ending
}

/** Orders are no longer placed in the last days, so that the buyer's list has something to show today. */
const QUIET_DAYS = 11
const WAITS_DAYS_MAX = 12

/**
 * Three years of the estate, day by day: parts wear and fail, jobs want parts, the shelf gives them or the job waits, the
 * buyer orders what is low, suppliers deliver. Pure: the same input gives the same history, whatever the machine.
 */
export function scenarioRun(input: ScenarioInput): History {
  const { calendar, seed } = input
  const random = randomSeeded(`${seed}/days`)
  const meters = new Map(
    input.machines.map((machine) => [
      machine.machineId,
      hoursByDay(
        calendar,
        { ...MODEL_USE[machine.model], hoursAtStart: machine.hoursAtStart },
        randomSeeded(`${seed}/hours/${machine.fleetNumber}`),
      ),
    ]),
  )
  const drafts = draftsOf(input, meters)
  const { stocked, byId } = stockedOf(input, drafts)
  const ledger = ledgerNew(
    new Map(input.parts.map((part) => [part.partId, Math.max(1, Math.round(part.priceMinor * 0.89))])),
  )
  const book = orderBookNew()
  const bench = benchOf(input, ledger)
  const homeBin = (partId: number) => byId.get(partId)!.homeBinId
  const readings: Omit<ReadingRow, 'id'>[] = []
  let waiting: JobOnBench[] = []

  shelfOpens(ledger, input.parts, stocked, {
    at: calendarDate(calendar, 0, 6 * 60),
    random: randomSeeded(`${seed}/opening`),
  })
  const byDay = new Map<number, JobDraft[]>()
  for (const draft of drafts) byDay.set(draft.day, [...(byDay.get(draft.day) ?? []), draft])

  for (let day = 0; day < calendar.days; day++) {
    if (calendarDate(calendar, day).getUTCDate() === 1)
      for (const machine of input.machines)
        readings.push(reading(machine.machineId, meters, day, calendarDate(calendar, day, 6 * 60 + 30)))
    if (calendarWeekday(calendar, day) === 0) continue
    let at = calendarDate(calendar, day, 7 * 60 + 20)
    const pause = () => {
      at = new Date(at.getTime() + benchPause(random) * MINUTE_MS)
      return at
    }
    const came = ordersReceive(book, ledger, { day, at, homeBin })
    at = came.at
    const still: JobOnBench[] = []
    for (const on of waiting) {
      if (day - on.draft.day > WAITS_DAYS_MAX) jobFetches(bench, on, pause(), homeBin)
      if (jobTakes(bench, on, pause())) jobClosed(bench, on, pause())
      else still.push(on)
    }
    waiting = still
    for (const draft of byDay.get(day) ?? []) {
      const opened = pause()
      const tenths = reading(draft.machineId, meters, day, opened)
      readings.push(tenths)
      const on = jobOpened(
        bench,
        draft,
        opened,
        tenths.hourTenths,
        randomSeeded(`${seed}/bench/${bench.rows.jobs.length}`),
      )
      if (jobTakes(bench, on, pause())) jobClosed(bench, on, pause())
      else waiting.push(on)
    }
    storeRound(ledger, input.parts, { calendar, day, at: pause(), random: randomSeeded(`${seed}/store/${day}`) })
    const wanted = wantedBy(waiting)
    const atDesk = new Date(Math.max(at.getTime(), calendarDate(calendar, day, 16 * 60).getTime()))
    ordersStillDue(book, ledger, stocked, { calendar, day, at: atDesk, random, ending: input.ending })
    const buyers = calendarWeekday(calendar, day) === 1 || calendarWeekday(calendar, day) === 4
    if (buyers && day < calendar.days - QUIET_DAYS)
      ordersRaise(book, partsLow(ledger, book, stocked, wanted), {
        calendar,
        day,
        at: atDesk,
        urgent: new Set(wanted.keys()),
        random,
      })
  }
  let last = calendarDate(calendar, calendar.days, -120)
  for (const on of waiting) {
    jobFetches(bench, on, last, homeBin)
    jobTakes(bench, on, last)
    last = new Date(last.getTime() + 2 * MINUTE_MS)
    jobClosed(bench, on, last)
  }
  shelfEnds(ledger, stocked, input.ending, last)
  listSettled(ledger, book, stocked, input.ending, ledger.movements.at(-1)?.at ?? last)
  return historyOf(bench, ledger, book, stocked, readings)
}

function draftsOf(input: ScenarioInput, meters: ReadonlyMap<number, number[]>): JobDraft[] {
  const partByRef = new Map(input.parts.map((part) => [`${part.maker}/${part.partNumber}`, part]))
  const partOf = ({ maker, number }: SpareRef) => {
    const part = partByRef.get(`${maker}/${number}`)
    if (!part) throw new Error(`scenario: the estate keeps no ${maker} ${number}`)
    return { partId: part.partId, description: part.description }
  }
  const { calendar, seed, rules, shelf } = input
  return input.machines
    .flatMap((machine) => {
      const work = { calendar, seed, machine, hoursAtDayEnd: meters.get(machine.machineId)!, rules, shelf, partOf }
      return [...repairDrafts(work), ...serviceDrafts(work)]
    })
    .sort((a, b) => a.day - b.day || a.machineId - b.machineId)
}

function stockedOf(input: ScenarioInput, drafts: readonly JobDraft[]) {
  const uses = usesOf(drafts)
  const stocked = input.parts.map((part): Stocked => {
    const leadTimeDays = SUPPLIERS[part.offer.supplier].leadTimeDays
    const own = input.ending.levels.get(part.partId)
    const level = part.old
      ? null
      : (own ?? levelOf(part, uses.get(part.partId), { leadTimeDays, pack: part.offer.pack }, input.calendar.days))
    return {
      partId: part.partId,
      unit: part.unit,
      offer: part.offer,
      level,
      homeBinId: part.bins[0]!,
      used: uses.has(part.partId),
    }
  })
  return { stocked, byId: new Map(stocked.map((one) => [one.partId, one])) }
}

function benchOf(input: ScenarioInput, ledger: Ledger): Bench {
  const machines = new Map(input.machines.map((machine) => [machine.machineId, machine]))
  const parts = new Map(input.parts.map((part) => [part.partId, part]))
  const figures = new Map(input.figures.map((figure) => [figure.id, figure.name]))
  return {
    rows: { jobs: [], targets: [], needs: [], checks: [], entries: [] },
    ledger,
    machineOf: (id) => {
      const { machineId, fleetNumber, name, modelName, serialNumber } = machines.get(id)!
      return { machineId, fleetNumber, name, model: modelName, serialNumber }
    },
    partOf: (id) => {
      const { partNumber, maker, unit } = parts.get(id)!
      return { number: partNumber, maker, unit }
    },
    figureName: (id) => figures.get(id)!,
    binsOf: (id, inOrchard) => {
      const part = parts.get(id)!
      if (part.vanBin === null) return part.bins
      return inOrchard ? [part.vanBin, ...part.bins] : [...part.bins, part.vanBin]
    },
    currency: input.currency,
    end: calendarDate(input.calendar, input.calendar.days),
  }
}

/** The meter in the morning of a day: what it stood at the evening before. */
function reading(
  machineId: number,
  meters: ReadonlyMap<number, number[]>,
  day: number,
  at: Date,
): Omit<ReadingRow, 'id'> {
  const hours = meters.get(machineId)!
  return { machineId, hourTenths: Math.round((hours[Math.max(0, day - 1)] ?? 0) * 10), at, personId: 'demo-nell' }
}

function wantedBy(waiting: readonly JobOnBench[]): Map<number, number> {
  const wanted = new Map<number, number>()
  for (const on of waiting)
    for (const [partId, quantity] of jobWants(on)) wanted.set(partId, (wanted.get(partId) ?? 0) + quantity)
  return wanted
}
