import { z } from 'zod'
import { moneyParse } from '../measure/money.ts'
import type { AbcClass, AbcLimits } from './abc.ts'

const Percent = z.coerce
  .number<number>({ error: 'enter a whole number' })
  .int('enter a whole number')
  .min(0, 'enter 0 or more')
const Times = z.coerce
  .number<number>({ error: 'enter a whole number' })
  .int('enter a whole number')
  .min(1, 'at least once a year')
  .max(52, 'at most once a week')
const Minor = z.number().int().min(0)

const limitsInOrder = {
  check: ({ abcA, abcB }: { abcA: number; abcB: number }) => abcA < abcB,
  says: { path: ['abcB'], message: 'B must end above A' },
}

const Shape = z.object({
  /** Share of the value of use up to which a part is A, and up to which B; per cent. */
  abcA: Percent.max(99, 'at most 99'),
  abcB: Percent.max(100, 'at most 100'),
  /** How often a year each class is counted. */
  timesA: Times,
  timesB: Times,
  timesC: Times,
  /** A difference above this value, or above this share of what the books say, is counted again. */
  recountMinor: Minor,
  recountPercent: Percent.max(100, 'at most 100'),
  /** The second count is by somebody else. */
  recountByOther: z.boolean(),
  /** A difference above this value waits for approval. */
  approveMinor: Minor,
})
export type CountSettings = z.infer<typeof Shape>

export const CountSettingsKept = Shape.refine(limitsInOrder.check, limitsInOrder.says)

/** Shares of the classes: from memory, as in textbooks; how often and the limits: common practice, no source. */
export const COUNT_SETTINGS: CountSettings = {
  abcA: 80,
  abcB: 95,
  timesA: 4,
  timesB: 2,
  timesC: 1,
  recountMinor: 5_000,
  recountPercent: 10,
  recountByOther: false,
  approveMinor: 20_000,
}

/** The settings as their form sends them: money in whole units, a box that is not ticked is not sent. */
export const CountSettingsForm = z
  .object({
    ...Shape.shape,
    recountMinor: z.string(),
    approveMinor: z.string(),
    recountByOther: z.string().optional(),
  })
  .transform((form, context) => {
    const money = (path: 'recountMinor' | 'approveMinor') => {
      const minor = moneyParse(form[path])
      if (minor !== null) return minor as number
      context.addIssue({ code: 'custom', path: [path], message: 'enter an amount, such as 50' })
      return z.NEVER
    }
    return {
      ...form,
      recountMinor: money('recountMinor'),
      approveMinor: money('approveMinor'),
      recountByOther: form.recountByOther !== undefined,
    }
  })
  .pipe(CountSettingsKept)

export function abcLimits({ abcA, abcB }: CountSettings): AbcLimits {
  return { a: abcA, b: abcB }
}

export function timesAYear(settings: CountSettings, abc: AbcClass): number {
  return { A: settings.timesA, B: settings.timesB, C: settings.timesC }[abc]
}
