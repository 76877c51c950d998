import { moneyOfQuantity } from '../measure/money.ts'
import type { PlanFault } from '../readiness/plan-check.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { placesPropose } from './calendar.ts'
import { looksChances, type Want, type WinterFacts, wantChance } from './facts.ts'
import { lateFaults, placeFaults } from './faults.ts'
import { type LatePart, putOff } from './late.ts'
import type { ListPrices } from './money.ts'
import { type SeasonWeek, seasonWeeks } from './season.ts'
import { arrivalsOf, failureOf, monthsLeft, packStep, partNamesOf, plentyFrom, weekdayNames } from './supply.ts'
import { type WeekPlace, weekDay } from './weeks.ts'

/** What a job of the season is to the workshop: the services of a machine, or an open job. */
export interface WinterWork {
  /** As the readiness plan calls it. */
  id: string
  machineId: number
  job: { id: number; number: number } | null
  wants: Want[]
  /** Day by which its parts are wanted. */
  wantedOn: PlainDate
  /** Day with which it is reckoned: later, where what it lacks for certain cannot come sooner. */
  date: PlainDate
  /** What it waits for whatever is bought. */
  late: LatePart[]
}

export interface WinterPlanned {
  /** A plan as lib/readiness/plan.ts has it. */
  file: Record<string, unknown>
  weeks: SeasonWeek[]
  places: WeekPlace[]
  works: WinterWork[]
  /** As the plan calls each part, by its id. */
  partNames: Map<number, string>
  /** When an order of today is there, by part id; absent where nobody sells it. */
  arrivals: Map<number, PlainDate>
  faults: PlanFault[]
  /** Quantities set by hand of what can be bought, and what all of it is charged by. */
  byHand: { partId: number; quantity: number }[]
  prices: ListPrices
}

/**
 * Lines of a work as the plan has them. What one look decides is one event: what it takes of a part is one line, and where it
 * takes several parts it is a cause that brings all of them. What any of several looks asks for has their chance together.
 */
function linesOf(wants: readonly Want[], partNames: ReadonlyMap<number, string>, chanceOf: (look: string) => number) {
  const byLook = new Map<string, Map<number, number>>()
  const lines: Record<string, unknown>[] = []
  for (const want of wants) {
    const { partId, quantity, looks } = want
    const part = partNames.get(partId)!
    if (looks.length === 1) {
      const parts = byLook.get(looks[0]!) ?? new Map<number, number>()
      byLook.set(looks[0]!, parts.set(partId, (parts.get(partId) ?? 0) + quantity))
    } else lines.push({ part, quantity, ...(looks.length === 0 ? {} : { chance: wantChance(want, chanceOf) }) })
  }
  const causes: { id: string; look: string }[] = []
  for (const [look, parts] of byLook) {
    if (parts.size > 1) causes.push({ id: look, look })
    const by = parts.size > 1 ? { cause: look } : { look }
    for (const [partId, quantity] of parts) lines.push({ part: partNames.get(partId)!, quantity, ...by })
  }
  return { causes, lines }
}

/** What a list of these facts is charged by. */
export function pricesOf({ parts, suppliers }: Pick<WinterFacts, 'parts' | 'suppliers'>): ListPrices {
  return {
    parts: new Map(
      parts.flatMap(({ id, unit, offer }) =>
        offer === null ? [] : [[id, { unit, on: offer.on, supplierId: offer.supplierId }] as const],
      ),
    ),
    suppliers: new Map(suppliers.map(({ id, terms }) => [id, terms])),
  }
}

/**
 * The readiness plan of a season: a job for the services of each machine in the week that was proposed or set, a job for each
 * open job, parts with what is free, coming and sold, and the failures of the time that is left. What somebody set by hand is
 * taken as ordered today, and no more is proposed of it.
 */
export function winterPlan(facts: WinterFacts): WinterPlanned {
  const { today, work, machines, jobs, parts, suppliers } = facts
  const weeks = seasonWeeks(work)
  const arrivals = arrivalsOf(facts)
  const plenty = plentyFrom(facts, arrivals)
  const partNames = partNamesOf(parts)
  const places = placesPropose(
    work,
    weeks,
    machines.map(({ id, services, wants, weekOn, hours, priority }) => ({
      id,
      weekOn,
      minutes: hours?.minutes,
      priority,
      dueOn:
        services
          .map(({ dueOn }) => dueOn)
          .filter((on) => on !== null)
          .sort()[0] ?? null,
      partsFrom:
        wants
          .map(({ partId }) => plenty.get(partId))
          .filter((on) => on !== undefined)
          .sort()
          .at(-1) ?? null,
    })),
    today,
  )
  const dayOf = new Map(
    places.map(({ id, weekOn }) => [id, weekOn === null ? work.until : weekDay(weeks, weekOn, today)]),
  )
  const notBefore = (day: PlainDate) => (day < today ? today : day)
  const works: WinterWork[] = [
    ...machines.map(({ id, fleetNumber, wants }): WinterWork => {
      const date = notBefore(dayOf.get(id)!)
      return { id: `${fleetNumber} service`, machineId: id, job: null, wants, wantedOn: date, date, late: [] }
    }),
    ...jobs.map(({ id, number, machineId, needOn, wants }): WinterWork => {
      const date = notBefore(needOn ?? dayOf.get(machineId) ?? work.until)
      return { id: `job ${number}`, machineId, job: { id, number }, wants, wantedOn: date, date, late: [] }
    }),
  ]
  const priorities = new Map(jobs.map((job) => [job.id, job.priority]))
  const order = new Map(works.map((one, at) => [one, at]))
  putOff(
    works,
    (one) => ({
      priority: one.job === null ? 2 : priorities.get(one.job.id)!,
      needOn: one.wantedOn,
      jobId: order.get(one)!,
    }),
    parts,
    arrivals,
  )
  const byHand = new Map(facts.byHand.map(({ partId, quantity }) => [partId, quantity]))
  const planParts = parts.map((part) => {
    const { id, description, unit, free, onOrder, offer } = part
    const set = byHand.get(id)
    const arrives = arrivals.get(id)
    const base = { id: partNames.get(id)!, description, free }
    if (offer === null || arrives === undefined) return { ...base, onOrder }
    if (set === undefined) {
      const pack = packStep(offer.pack, unit)
      return {
        ...base,
        onOrder,
        supplier: String(offer.supplierId),
        pack,
        minimum: Math.max(1, offer.minimum),
        price: moneyOfQuantity(offer.priceMinor, pack, unit),
        leadDays: offer.leadDays,
      }
    }
    return { ...base, onOrder: set > 0 ? [...onOrder, { quantity: set, date: arrives }] : onOrder }
  })
  const months = monthsLeft(facts)
  const fleet = new Map(
    [...machines, ...jobs.map((job) => ({ id: job.machineId, fleetNumber: job.fleetNumber, name: '' }))].map((one) => [
      one.id,
      one,
    ]),
  )
  const nameOf = (id: number) => fleet.get(id)!.fleetNumber
  const chances = looksChances(facts.looks)
  const file = {
    currency: facts.currency,
    today,
    season: { from: work.from, until: work.until },
    suppliers: suppliers.map(({ id, name, leadDays, orderDays }) => ({
      id: String(id),
      name,
      leadDays,
      orderDays: weekdayNames(orderDays),
    })),
    machines: [...fleet.values()].map(({ fleetNumber, name }) => ({ id: fleetNumber, name })),
    parts: planParts,
    looks: facts.looks.map(({ key, own, others }) => ({ id: key, ...own, ofClass: others })),
    jobs: works.map((one) => ({
      id: one.id,
      machine: nameOf(one.machineId),
      priority: one.job === null ? 2 : priorities.get(one.job.id),
      date: one.date,
      ...linesOf(one.wants, partNames, (look) => chances.get(look)!),
    })),
    failures: parts.flatMap((part) => {
      const failure = failureOf(part, months)
      return failure === null || failure.exposure === 0 ? [] : [{ part: partNames.get(part.id)!, ...failure }]
    }),
  }
  return {
    file,
    weeks,
    places,
    works,
    partNames,
    arrivals,
    byHand: facts.byHand.filter(({ partId }) => arrivals.has(partId)),
    prices: pricesOf(facts),
    faults: [...facts.faults, ...placeFaults(places, fleet, { weeks, work, today }), ...lateFaults(works, partNames)],
  }
}
