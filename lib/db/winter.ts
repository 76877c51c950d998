import { isSoldSo, soldIn } from '../buying/sold-in.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { dateOf, type PlainDate } from '../service/plain-date.ts'
import type { WinterBeginInput, WinterChangeInput, WinterMachineInput, WinterQuantityInput } from '../winter/schema.ts'
import { type DaySpan, mondayOf, type SeasonWork, seasonWeeks, USUAL_MINUTES } from '../winter/season.ts'
import { database, type Tx } from './client.ts'
import { offersNow } from './offer-price.ts'
import { type WriteContext, write } from './transaction.ts'
import { linesWaiting } from './winter-waiting.ts'

export interface WinterPlanRow {
  id: number
  name: string
  work: SeasonWork
  budgetMinor: number | null
  ordersMade: number
  endedAt: Date | null
}

interface Row {
  id: number
  name: string
  fromOn: string
  untilOn: string
  machinesAWeek: number
  workdays: string
  shut: string
  bays: number | null
  usualMinutes: number | null
  people: { personId: string; minutesADay: number; away: string; person: { name: string } }[]
  budgetMinor: number | null
  ordersMade: number
  endedAt: Date | null
}

const WITH_PEOPLE = {
  people: { orderBy: { personId: 'asc' }, include: { person: { select: { name: true } } } },
} as const

const planOf = ({ id, name, budgetMinor, ordersMade, endedAt, ...row }: Row): WinterPlanRow => ({
  id,
  name,
  budgetMinor,
  ordersMade,
  endedAt,
  work: {
    from: row.fromOn,
    until: row.untilOn,
    machinesAWeek: row.machinesAWeek,
    workdays: row.workdays.split(',').map(Number),
    shut: JSON.parse(row.shut) as DaySpan[],
    calendar: {
      bays: row.bays,
      usualMinutes: row.usualMinutes ?? USUAL_MINUTES,
      people: row.people.map(({ personId, minutesADay, away, person }) => ({
        personId,
        name: person.name,
        minutesADay,
        away: JSON.parse(away) as DaySpan[],
      })),
    },
  },
})

const rowOf = ({ name, from, until, machinesAWeek, workdays, shut, calendar }: WinterBeginInput) => ({
  name,
  fromOn: from,
  untilOn: until,
  machinesAWeek,
  workdays: workdays.join(','),
  shut: JSON.stringify(shut),
  bays: calendar?.bays ?? null,
  usualMinutes: calendar?.usualMinutes ?? null,
})

async function peopleKeep(tx: Tx, planId: number, { calendar }: WinterBeginInput): Promise<void> {
  await tx.winterPerson.deleteMany({ where: { planId } })
  for (const { personId, minutesADay, away } of calendar?.people ?? []) {
    if (!(await tx.person.findUnique({ where: { id: personId }, select: { id: true } })))
      throw new Refusal('people/no-such')
    await tx.winterPerson.create({ data: { planId, personId, minutesADay, away: JSON.stringify(away) } })
  }
}

/** All plans, the open ones first, then the newest. */
export async function winterPlans(): Promise<WinterPlanRow[]> {
  const rows = await database().winterPlan.findMany({
    orderBy: [{ fromOn: 'desc' }, { id: 'desc' }],
    include: WITH_PEOPLE,
  })
  return rows.map(planOf).sort((a, b) => Number(a.endedAt !== null) - Number(b.endedAt !== null))
}

/** Refuses with 'winter/no-such'. */
export async function winterPlanRead(planId: number): Promise<WinterPlanRow> {
  const row = await database().winterPlan.findUnique({ where: { id: planId }, include: WITH_PEOPLE })
  if (!row) throw new Refusal('winter/no-such')
  return planOf(row)
}

/** What somebody said of the machines of a plan, and the quantities set by hand. */
export async function winterSaid(planId: number) {
  const [machines, quantities] = await Promise.all([
    database().winterMachine.findMany({ where: { planId } }),
    database().winterQuantity.findMany({ where: { planId }, orderBy: { partId: 'asc' } }),
  ])
  return { machines, quantities }
}

async function planOpen(tx: Tx, planId: number): Promise<WinterPlanRow> {
  const row = await tx.winterPlan.findUnique({ where: { id: planId }, include: WITH_PEOPLE })
  if (!row) throw new Refusal('winter/no-such')
  if (row.endedAt !== null) throw new Refusal('winter/ended')
  return planOf(row)
}

export function winterBegin(context: WriteContext, input: WinterBeginInput): Promise<{ planId: number }> {
  return write(context, 'winter.begin', input, async (tx) => {
    const { id } = await tx.winterPlan.create({
      data: { ...rowOf(input), createdAt: context.now, createdById: context.personId },
    })
    await peopleKeep(tx, id, input)
    return { planId: id }
  })
}

/** Weeks that were set by hand stay; one that is no longer of the season is said on the plan. */
export function winterChange(context: WriteContext, input: WinterChangeInput): Promise<{ planId: number }> {
  return write(context, 'winter.change', input, async (tx) => {
    const { planId, ...season } = input
    await planOpen(tx, planId)
    await tx.winterPlan.update({ where: { id: planId }, data: rowOf(season) })
    await peopleKeep(tx, planId, season)
    return { planId }
  })
}

/** Closes a plan whose season is over and keeps which lines still waited then, or opens it again. */
export function winterEnd(context: WriteContext, input: { planId: number }): Promise<{ isEnded: boolean }> {
  return write(context, 'winter.end', input, async (tx) => {
    const row = await tx.winterPlan.findUnique({ where: { id: input.planId } })
    if (!row) throw new Refusal('winter/no-such')
    const endedAt = row.endedAt === null ? context.now : null
    await tx.winterPlan.update({ where: { id: row.id }, data: { endedAt } })
    if (endedAt !== null) {
      const content = JSON.stringify({ waiting: await linesWaiting(tx, row.untilOn) })
      const { now: at, personId } = context
      await tx.winterCopy.create({ data: { planId: row.id, kind: 'end', at, personId, content } })
    }
    return { isEnded: endedAt !== null }
  })
}

/** Whether a machine comes in, and in which week. Refuses a week that is not one of the season. */
export function winterMachineSet(context: WriteContext, input: WinterMachineInput): Promise<null> {
  return write(context, 'winter.machine', input, async (tx) => {
    const { planId, machineId, comes } = input
    const plan = await planOpen(tx, planId)
    if (!(await tx.machine.findUnique({ where: { id: machineId }, select: { id: true } })))
      throw new Refusal('machine/no-such', { machine: machineId })
    const weekOn: PlainDate | null = input.weekOn === null || comes === 'out' ? null : mondayOf(input.weekOn)
    if (weekOn !== null && !seasonWeeks(plan.work).some(({ on, day }) => on === weekOn && day !== null))
      throw new Refusal('winter/not-a-week', { week: weekOn }, { fields: { weekOn: 'choose a week of the list' } })
    await tx.winterMachine.upsert({
      where: { planId_machineId: { planId, machineId } },
      create: { planId, machineId, comes, weekOn },
      update: { comes, weekOn },
    })
    return null
  })
}

export function winterBudgetKeep(context: WriteContext, input: { planId: number; budget: number }): Promise<null> {
  return write(context, 'winter.budget', input, async (tx) => {
    await planOpen(tx, input.planId)
    await tx.winterPlan.update({ where: { id: input.planId }, data: { budgetMinor: input.budget } })
    return null
  })
}

/** Sets how many of a part are bought, or has it proposed again. What is not sold so is refused. */
export function winterQuantitySet(context: WriteContext, input: WinterQuantityInput): Promise<null> {
  return write(context, 'winter.quantity', input, async (tx) => {
    const { planId, partId, quantity } = input
    await planOpen(tx, planId)
    if (quantity === null) {
      await tx.winterQuantity.deleteMany({ where: { planId, partId } })
      return null
    }
    const part = await tx.part.findUnique({ where: { id: partId } })
    if (!part) throw new Refusal('stock/unknown-part', { part: partId })
    const unit = part.unit as StockUnit
    const offers = (await offersNow(tx, [partId], dateOf(context.now))).get(partId) ?? []
    if (quantity > 0 && !offers.some((offer) => isSoldSo(offer, quantity))) {
      const offer = offers[0]
      if (!offer) throw new Refusal('winter/not-sold', { part: part.number })
      const sold = `sold ${soldIn(offer, unit)}`
      throw new Refusal('input/invalid', { what: `${part.number} is ${sold}` }, { fields: { quantity: sold } })
    }
    const set = { quantity, setById: context.personId, setAt: context.now }
    await tx.winterQuantity.upsert({
      where: { planId_partId: { planId, partId } },
      create: { planId, partId, ...set },
      update: set,
    })
    return null
  })
}
