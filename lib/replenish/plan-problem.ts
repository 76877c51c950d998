import { z } from 'zod'
import { STOCK_UNITS } from '../measure/quantity.ts'

/** Names and numbers that come from outside: printed again, so short and without line breaks. */
const Name = z
  .string()
  .trim()
  .min(1)
  .max(80)
  .refine((text) => !/\p{Cc}/u.test(text), 'holds signs that cannot be printed')
const Day = z.iso.date()
const Money = z.number().int().min(0).max(1e12)
const Quantity = z.number().int().min(1).max(1e9)

/** Late for a need: not at all, or what each day costs for each stock unit that comes after its date. */
const Late = z.union([z.literal('never'), z.strictObject({ perDayMinor: Money })])

export const PlanPart = z.strictObject({
  id: Name,
  unit: z.enum(STOCK_UNITS).default('each'),
  /** On the shelf and not promised to anybody outside this problem. */
  free: z.number().int().min(0).max(1e9).default(0),
  incoming: z
    .strictObject({
      quantity: Quantity,
      on: Day,
      is: z.enum(['on order', 'on the way', 'in a kit', 'in a draft']).default('on order'),
      document: Name.optional(),
    })
    .array()
    .max(200)
    .default([]),
})

/** What the need is for; more than one may be said. */
const NeedFor = z.strictObject({
  job: Name.optional(),
  machine: Name.optional(),
  service: Name.optional(),
  level: Name.optional(),
})

export const PlanNeed = z.strictObject({
  id: Name.optional(),
  part: Name,
  quantity: Quantity,
  by: Day,
  for: NeedFor.default({}),
  late: Late.optional(),
  /** Only the part and what supersedes it will do: no alternative, nothing that comes in a kit. A shelf is filled so. */
  itself: z.boolean().default(false),
})

export const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const

export const PlanSupplier = z.strictObject({
  id: Name,
  /** From the order to the delivery, calendar days. */
  leadDays: z.number().int().min(0).max(1000),
  currency: z.string().optional(),
  carriageMinor: Money.default(0),
  /** Goods from which the supplier pays the carriage; left out where never. */
  carriagePaidFromMinor: Money.nullable().default(null),
  minimumOrderMinor: Money.default(0),
  /** Days on which orders go to this supplier; left out where any day will do. */
  orderDays: z.enum(WEEKDAYS).array().min(1).max(7).optional(),
})

/** `from` and `to` in minor units of quantity, both included; the price is for a whole stock unit. */
const PlanPrice = z.strictObject({ from: z.number().int().min(0).max(1e9), to: Quantity.optional(), priceMinor: Money })

const Sold = {
  id: Name.optional(),
  supplier: Name,
  currency: z.string().optional(),
  pack: Quantity.default(1),
  minimum: z.number().int().min(0).max(1e9).default(0),
  prices: PlanPrice.array().min(1).max(12),
  breaks: z.enum(['all-units', 'incremental']).default('all-units'),
  discountPercent: z.number().min(0).max(100).default(0),
  validFrom: Day.optional(),
  validUntil: Day.optional(),
  preferred: z.boolean().default(false),
}

export const PlanOffer = z.strictObject({ ...Sold, part: Name })

/** A set under one number; its quantities are pieces of the set, what it holds is said for one set. */
export const PlanKit = z.strictObject({
  ...Sold,
  id: Name,
  holds: z.strictObject({ part: Name, quantity: Quantity }).array().min(1).max(60),
})

/** `per`: pieces of the new part for one of the old. */
export const PlanSupersession = z.strictObject({
  old: Name,
  new: Name,
  bothWays: z.boolean().default(false),
  per: z.number().int().min(1).max(1000).default(1),
})

export const PlanAlternative = z.strictObject({
  part: Name,
  fills: Name,
  bothWays: z.boolean().default(false),
  per: z.number().int().min(1).max(1000).default(1),
})

/** Lines fixed by hand: this quantity of an offer, in all; and what is not to be ordered: an offer, or of a supplier at all. */
export const PlanFixed = z.strictObject({ offer: Name, quantity: Quantity })
export const PlanForbidden = z.union([z.strictObject({ offer: Name }), z.strictObject({ supplier: Name })])

const Items = z.unknown().array().max(200_000).default([])

/** The outer shape; every item is read by itself, so that one wrong line does not take the others with it. */
export const PlanProblem = z.strictObject({
  format: z.literal('cotterbook-order-plan'),
  currency: z.string(),
  /** Day on which the plan is made: nothing is ordered before it. */
  today: Day,
  budgetMinor: Money.optional(),
  late: Late.default('never'),
  parts: Items,
  needs: Items,
  suppliers: Items,
  offers: Items,
  kits: Items,
  supersessions: Items,
  alternatives: Items,
  fixed: Items,
  forbidden: Items,
})

export type PlanLate = z.infer<typeof Late>
export type PlanPrice = z.infer<typeof PlanPrice>
export type PlanSold = Omit<z.infer<typeof PlanOffer>, 'part'>
export type PlanNeed = z.infer<typeof PlanNeed>
