import { z } from 'zod'
import { isCurrency } from '../measure/money.ts'

/**
 * The plan of a season of planned work, as a file. Quantities are whole numbers in the smallest unit of the part's stock unit
 * (pieces, millilitres, grams, millimetres), money is whole minor units (pence, cents), dates are ISO 8601.
 */
const Id = z.string().trim().min(1, 'must not be empty').max(120)
const Words = z.string().trim().max(200)
const Quantity = z.int().min(1, 'must be a whole number from 1').max(1_000_000)
const Stock = z.int().min(0, 'must be a whole number from 0').max(1_000_000_000)
const Chance = z.number().min(0, 'must be a chance from 0 to 1').max(1, 'must be a chance from 0 to 1')
const Looks = z
  .strictObject({ renewed: z.int().min(0).max(1_000_000), looked: z.int().min(0).max(1_000_000) })
  .refine(({ renewed, looked }) => renewed <= looked, 'renewed must not be more than looked')
export const WEEKDAYS = ['sun', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat'] as const

/** What the file says for all: `today` is the day it is reckoned from, the season the window in which failures come up. */
export const PlanHead = z.object({
  currency: z
    .string()
    .regex(/^[A-Z]{3}$/, 'must be three capitals of ISO 4217, such as GBP')
    .refine(isCurrency, 'is no currency of ISO 4217, such as GBP')
    .default('GBP'),
  today: z.iso.date(),
  season: z
    .object({ from: z.iso.date(), until: z.iso.date() })
    .refine(({ from, until }) => from <= until, 'must not end before it begins'),
})

export const PlanSupplier = z.strictObject({
  id: Id,
  name: Words.optional(),
  /** Days from order to delivery, where a part does not say its own. */
  leadDays: z.int().min(0).max(3650).optional(),
  /** Weekdays on which orders go out; any day where none is named. */
  orderDays: z.array(z.enum(WEEKDAYS)).max(7).default([]),
})

export const PlanPart = z.strictObject({
  id: Id,
  description: Words.optional(),
  /** On the shelf and promised to nobody outside this plan. */
  free: Stock.default(0),
  onOrder: z.array(z.strictObject({ quantity: Quantity, date: z.iso.date() })).default([]),
  supplier: Id.optional(),
  /** Sold by so many. */
  pack: Quantity.default(1),
  /** At least so many in one order; whole packs are bought all the same. */
  minimum: Quantity.default(1),
  /** Of one pack. */
  price: z.int().min(0, 'must be whole minor units of money from 0').max(1_000_000_000).optional(),
  leadDays: z.int().min(0).max(3650).optional(),
  /** No longer sold; this number took its place. */
  supersededBy: Id.optional(),
})

export const PlanMachine = z.strictObject({ id: Id, name: Words.optional() })

/** How often something that is looked at had to be renewed, here and at others of its class; lines name it by its id. */
export const PlanLook = z
  .strictObject({ id: Id, ...Looks.shape, ofClass: Looks.optional() })
  .superRefine((look, issue) => {
    if (look.renewed > look.looked) issue.addIssue({ code: 'custom', message: 'renewed must not be more than looked' })
  })

/**
 * `quantity` at each of `places`. Renewed always, or on condition: with a `chance` for each place, or the chance that a `look`
 * has learned. With a `cause` the line is needed only when that is opened.
 */
export const PlanLine = z.strictObject({
  part: Id,
  quantity: Quantity.default(1),
  places: z.int().min(1, 'must be a whole number from 1').max(1000).default(1),
  chance: Chance.optional(),
  look: Id.optional(),
  cause: Id.optional(),
})

/** Something that is opened or is not, with all lines that name it: the gearbox, with its gasket, seals and bearings. */
export const PlanCause = z.strictObject({ id: Id, chance: Chance.optional(), look: Id.optional() })

export const PlanJob = z.strictObject({
  id: Id,
  machine: Id,
  what: Words.optional(),
  /** 1 first, 2 usual, 3 can wait. */
  priority: z.int().min(1).max(3).default(2),
  /** Day on which its parts must be there; without one, the last day of the season will do. */
  date: z.iso.date().optional(),
  causes: z.array(z.unknown()).default([]),
  lines: z.array(z.unknown()).default([]),
})

/** Failures of a part in the season: rate times exposure expected; `shape` where the rate is uncertain (negative binomial). */
export const PlanFailure = z.strictObject({
  part: Id,
  rate: z.number().min(0, 'must be zero or more').max(10_000),
  /** Running hours, machines or months: whatever the rate counts by. */
  exposure: z.number().min(0, 'must be zero or more').max(1e9).default(1),
  shape: z.number().min(1e-3, 'must be above 0').max(1e9).optional(),
  /** What one failure takes. */
  quantity: Quantity.default(1),
})
