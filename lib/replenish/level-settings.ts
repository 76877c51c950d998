import { z } from 'zod'
import { moneyParse } from '../measure/money.ts'

/** What stands still without the part; decides how much is kept of it. */
export type Criticality = 'vital' | 'essential' | 'desirable'

const whole = (least: number, most: number) =>
  z.coerce
    .number<number>({ error: 'enter a whole number' })
    .int('enter a whole number')
    .min(least, `at least ${least}`)
    .max(most, `at most ${most}`)
const number = (least: number, most: number) =>
  z.coerce.number<number>({ error: 'enter a number' }).min(least, `at least ${least}`).max(most, `at most ${most}`)
const Minor = z.number().int().min(0)
const Fill = number(50, 99.9)
/** What a share is of: pieces there at once, or looks at the shelf after which nobody waits (`Target`). */
const Aim = z.enum(['fill', 'cycle'], { error: 'choose what the share is of' })

const Shape = z.object({
  /** What one order costs: writing it, putting it away. */
  orderCostMinor: Minor,
  /** What keeping a piece costs in a year, per cent of its price. */
  holdingPercent: number(1, 100),
  /** Days between two looks at the order list. */
  reviewDays: whole(1, 90),
  /** Nothing is bought for longer. */
  longestYears: number(0.25, 20),
  /** A machine standing for a day: what is offered first where a level is set by least cost. */
  standingDayMinor: Minor,
  /** What is aimed at, and how many of 100: pieces asked for, or looks at the shelf. */
  aimVital: Aim,
  aimEssential: Aim,
  aimDesirable: Aim,
  fillVital: Fill,
  fillEssential: Fill,
  fillDesirable: Fill,
  /** Times a year that a part without a level is asked for to get one; below, it is bought when a job wants it. */
  leastVital: number(0, 1000),
  leastEssential: number(0, 1000),
  leastDesirable: number(0, 1000),
  /** A reckoning moves a level at most to so many times what it was, or to one part in so many. */
  stepTimes: number(1.1, 100),
  /** Reckoned by the clock every night, from this hour on. */
  nightly: z.boolean(),
  hour: whole(0, 23),
})
export type LevelSettings = z.infer<typeof Shape>
export const LevelSettingsKept = Shape

/** As shipped; common practice, no source. */
export const LEVEL_SETTINGS: LevelSettings = {
  orderCostMinor: 1000,
  holdingPercent: 20,
  reviewDays: 7,
  longestYears: 2,
  standingDayMinor: 10_000,
  aimVital: 'fill',
  aimEssential: 'fill',
  aimDesirable: 'fill',
  fillVital: 99,
  fillEssential: 95,
  fillDesirable: 90,
  leastVital: 0.2,
  leastEssential: 0.5,
  leastDesirable: 1,
  stepTimes: 2,
  nightly: true,
  hour: 3,
}

/** The settings as their form sends them: money in whole units, a box that is not ticked is not sent. */
export const LevelSettingsForm = z
  .object({
    ...Shape.shape,
    orderCostMinor: z.string(),
    standingDayMinor: z.string(),
    nightly: z.string().optional(),
  })
  .transform((form, context) => {
    const money = (path: 'orderCostMinor' | 'standingDayMinor') => {
      const minor = moneyParse(form[path])
      if (minor !== null) return minor as number
      context.addIssue({ code: 'custom', path: [path], message: 'enter an amount, such as 10' })
      return z.NEVER
    }
    return {
      ...form,
      orderCostMinor: money('orderCostMinor'),
      standingDayMinor: money('standingDayMinor'),
      nightly: form.nightly !== undefined,
    }
  })
  .pipe(Shape)

export function criticalityOf(text: string): Criticality {
  return text === 'vital' || text === 'desirable' ? text : 'essential'
}

const share = (percent: number) => Number((percent / 100).toPrecision(12))

/** A share that is to be met, and what it is of. */
export interface ServiceAim {
  kind: z.infer<typeof Aim>
  share: number
}

/** What the workshop aims at with parts of a criticality. */
export function serviceAim(settings: LevelSettings, criticality: Criticality): ServiceAim {
  const { aimVital, aimEssential, aimDesirable, fillVital, fillEssential, fillDesirable } = settings
  return {
    vital: { kind: aimVital, share: share(fillVital) },
    essential: { kind: aimEssential, share: share(fillEssential) },
    desirable: { kind: aimDesirable, share: share(fillDesirable) },
  }[criticality]
}

/** Times a year that it is asked for, from which on a part without a level gets one. */
export function leastYear(settings: LevelSettings, criticality: Criticality): number {
  const { leastVital, leastEssential, leastDesirable } = settings
  return { vital: leastVital, essential: leastEssential, desirable: leastDesirable }[criticality]
}

/** Whether the nightly reckoning is due: the hour has come and none was begun on this day. Days as 2026-11-28, hours of the clock. */
export function reckoningDue(
  { nightly, hour }: Pick<LevelSettings, 'nightly' | 'hour'>,
  now: { day: string; hour: number },
  lastBegunOn: string | null,
): boolean {
  return nightly && now.hour >= hour && (lastBegunOn === null || lastBegunOn < now.day)
}
