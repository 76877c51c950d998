import { z } from 'zod'
import type { VerifyReport } from './report.ts'

/** What is kept of the last check of the books, and of one at work. */
export const CheckKept = z.object({
  /** Instants, ISO 8601. */
  startedAt: z.string(),
  /** Null while it works, and for one that was broken off. */
  endedAt: z.string().nullable(),
  pid: z.number().int(),
  ok: z.boolean(),
  checks: z.array(z.object({ name: z.string(), ok: z.boolean(), faults: z.array(z.string()) })),
  /** What the last one found that came to its end, while another is at work. */
  before: z
    .object({
      endedAt: z.string(),
      ok: z.boolean(),
      checks: z.array(z.object({ name: z.string(), ok: z.boolean(), faults: z.array(z.string()) })),
    })
    .nullable(),
})
export type CheckKept = z.infer<typeof CheckKept>

export interface CheckResult {
  endedAt: string
  ok: boolean
  checks: VerifyReport['checks']
}

const DAY_MS = 86_400_000

/** The last check that came to its end; null where none ever did. */
export function checkResult(kept: CheckKept | null): CheckResult | null {
  if (kept === null) return null
  const { endedAt, ok, checks } = kept
  return endedAt === null ? kept.before : { endedAt, ok, checks }
}

/** True when the last check that came to its end is a day old, or none is kept; instants in milliseconds. */
export function checkIsDue(kept: CheckKept | null, nowMs: number): boolean {
  const last = checkResult(kept)
  return last === null || nowMs - Date.parse(last.endedAt) >= DAY_MS
}
