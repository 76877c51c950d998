import { z } from 'zod'
import { moneyParse } from '../measure/money.ts'
import { Id } from '../stock/schema.ts'

/** Code and name as they are printed: no line ends, single spaces. */
const Words = (what: string, most: number) =>
  z
    .string()
    .transform((text) => text.normalize('NFC').trim().replace(/\s+/gu, ' '))
    .pipe(z.string().min(1, `enter a ${what}`).max(most, `at most ${most} characters`))

/** A new cost centre, or other words for one. */
export const CentreInput = z.object({
  centreId: Id.optional(),
  code: Words('code', 20),
  name: Words('name', 60),
})
export type CentreInput = z.infer<typeof CentreInput>

export const CentreIdInput = z.object({ centreId: Id })

/** All machines of a cost centre; those that are left out lose it. */
export const CentreMachinesInput = z.object({
  centreId: Id,
  machineIds: z.preprocess(
    (value) => (value === undefined || value === '' ? [] : Array.isArray(value) ? value : [value]),
    z.array(Id).max(5_000),
  ),
})
export type CentreMachinesInput = z.infer<typeof CentreMachinesInput>

/** What a cost centre may spend in the season of a plan; empty: no budget any more. */
export const CentreBudgetInput = z.object({
  planId: Id,
  centreId: Id,
  budget: z.string().transform((text, context) => {
    if (text.trim() === '') return null
    const minor = moneyParse(text)
    if (minor !== null) return minor as number
    context.addIssue({ code: 'custom', message: 'enter a sum of money, such as 3400 or 3400.50' })
    return z.NEVER
  }),
})
export type CentreBudgetInput = z.infer<typeof CentreBudgetInput>
