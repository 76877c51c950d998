import { z } from 'zod'
import { moneyParse } from '../measure/money.ts'
import { STOCK_UNITS } from '../measure/quantity.ts'
import { daysBetween } from '../service/plain-date.ts'
import { Id, quantityTyped } from '../stock/schema.ts'
import { calendarRead, type WorkCalendarInput } from './calendar-schema.ts'
import { SEASON_DAYS_MOST } from './season.ts'

const Day = z.iso.date('enter a date')
const Ticked = z.preprocess(
  (value) => (value === undefined || value === '' ? [] : Array.isArray(value) ? value : [value]),
  z.array(z.coerce.number<number>().int().min(1).max(7)).min(1, 'tick the days that are worked').max(7),
)
const Blank = z.preprocess((value) => (value === '' ? undefined : value), Day.optional())

/** How many stretches of days a plan can be shut. */
export const SHUT_MOST = 3
const SHUT = Array.from({ length: SHUT_MOST }, (_, at) => at + 1)

const Season = {
  name: z.string().trim().min(3, 'give it a name: Winter 2026/27').max(60),
  from: Day,
  until: Day,
  machinesAWeek: z.coerce
    .number<number>({ error: 'enter a whole number' })
    .int('enter a whole number')
    .min(1, 'at least one')
    .max(500, 'at most 500'),
  workdays: Ticked.transform((days) => [...new Set(days)].sort((a, b) => a - b)),
}

/** `shutFrom1` and `shutUntil1` and so on: a stretch of which only one end is entered is that day. */
const shutFields = Object.fromEntries(
  SHUT.flatMap((at) => [
    [`shutFrom${at}`, Blank],
    [`shutUntil${at}`, Blank],
  ]),
)

function shutRead(fields: Record<string, unknown>) {
  return SHUT.flatMap((at) => {
    const [from, until] = [fields[`shutFrom${at}`], fields[`shutUntil${at}`]] as [
      string | undefined,
      string | undefined,
    ]
    const first = from ?? until
    return first === undefined ? [] : [{ from: first, until: until ?? first, field: `shutUntil${at}` }]
  })
}

const SeasonForm = z
  .looseObject({ ...Season, ...shutFields })
  .transform(({ name, from, until, machinesAWeek, workdays, ...fields }, context) => {
    if (until < from) context.addIssue({ code: 'custom', path: ['until'], message: 'not before it begins' })
    else if (daysBetween(from, until) >= SEASON_DAYS_MOST)
      context.addIssue({ code: 'custom', path: ['until'], message: 'a year at most' })
    const shut = shutRead(fields)
    for (const span of shut)
      if (span.until < span.from)
        context.addIssue({ code: 'custom', path: [span.field], message: 'not before it begins' })
    return {
      name,
      from,
      until,
      machinesAWeek,
      workdays,
      shut: shut.map((span) => ({ from: span.from, until: span.until })),
      calendar: calendarRead(fields, context),
    }
  })

type Season = Omit<z.infer<typeof SeasonForm>, 'calendar'> & { calendar?: WorkCalendarInput }

/** A new plan. Dates as ISO 8601, weekdays by their numbers. Without a calendar it goes by machines a week. */
export const WinterBeginInput = SeasonForm
export type WinterBeginInput = Season

export const WinterChangeInput = z.looseObject({ planId: Id }).transform((fields, context) => {
  const read = SeasonForm.safeParse(fields)
  if (read.success) return { planId: fields.planId, ...read.data }
  for (const { path, message } of read.error.issues) context.addIssue({ code: 'custom', path, message })
  return z.NEVER
})
export type WinterChangeInput = Season & { planId: number }

export const WinterPlanInput = z.object({ planId: Id })

/** `weekOn` is a Monday; empty: as proposed. */
export const WinterMachineInput = z.object({
  planId: Id,
  machineId: Id,
  comes: z.enum(['due', 'in', 'out']),
  weekOn: z.preprocess((value) => (value === '' || value === undefined ? null : value), Day.nullable()),
})
export type WinterMachineInput = z.infer<typeof WinterMachineInput>

export const WinterBudgetInput = z.object({
  planId: Id,
  budget: z.string().transform((text, context) => {
    const minor = moneyParse(text)
    if (minor === null) {
      context.addIssue({ code: 'custom', message: 'enter a sum of money, such as 3400 or 3400.50' })
      return z.NEVER
    }
    return minor as number
  }),
})

/** A quantity in place of the proposed one, typed in the stock unit; empty: as proposed again. */
export const WinterQuantityForm = z
  .object({ planId: Id, partId: Id, unit: z.enum(STOCK_UNITS), quantity: z.string().trim() })
  .transform(({ unit, quantity, ...rest }, context) => ({
    ...rest,
    quantity: quantity === '' ? null : (quantityTyped(quantity, unit, 'quantity', context) as number),
  }))
export type WinterQuantityInput = z.infer<typeof WinterQuantityForm>

const Money = z.int().min(0).max(1_000_000_000_000)

/** Lines as the list showed them; `seen` is what was on order or in drafts of the part then, minor units. */
export const WinterOrderInput = z.object({
  planId: Id,
  /** How many orders had been made of the plan when the list was shown. */
  ordersMade: z.coerce.number<number>().int().min(0),
  lines: z
    .array(z.object({ partId: Id, supplierId: Id, quantity: z.int().min(1).max(1_000_000_000), seen: z.int().min(0) }))
    .max(20_000),
  /** What the list said that each order costs. */
  costs: z.array(z.object({ supplierId: Id, goodsMinor: Money, carriageMinor: Money })).max(5_000),
  /** Goods and carriage of what the list had beside these lines and is left for later. */
  leftMinor: z.coerce.number<number>().pipe(Money).default(0),
})
export type WinterOrderInput = z.input<typeof WinterOrderInput>

/** The list as fields of JSON: it may be longer than a form takes fields. */
export const WinterOrderForm = z
  .object({
    planId: z.unknown(),
    ordersMade: z.unknown(),
    lines: z.string(),
    costs: z.string(),
    leftMinor: z.unknown(),
  })
  .transform(({ lines, costs, ...rest }, context): unknown => {
    try {
      return { ...rest, lines: JSON.parse(lines) as unknown, costs: JSON.parse(costs) as unknown }
    } catch {
      context.addIssue({ code: 'custom', path: ['lines'], message: 'the list cannot be read: reload the page' })
      return z.NEVER
    }
  })
  .pipe(WinterOrderInput)
