import { z } from 'zod'
import { VerifyReport } from './report.ts'

/** What a check of the books found, and when it came to its end; instants are ISO 8601. */
export const CheckResult = VerifyReport.extend({ endedAt: z.string() })
export type CheckResult = z.infer<typeof CheckResult>

/** What is kept of the checks: the one at work, and the last that came to its end. One that was broken off leaves nothing. */
export const CheckKept = z.object({
  working: z.object({ startedAt: z.string(), pid: z.number().int() }).nullable(),
  last: CheckResult.nullable(),
})
export type CheckKept = z.infer<typeof CheckKept>

const DAY_MS = 86_400_000

/** True when the last check that came to its end is a day old, or none is kept; `nowMs` in milliseconds. */
export function checkIsDue(last: CheckResult | null, nowMs: number): boolean {
  return last === null || nowMs - Date.parse(last.endedAt) >= DAY_MS
}
