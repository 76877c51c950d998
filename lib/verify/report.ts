import { z } from 'zod'

/** One invariant and what stands against it, a sentence each; no sentence means it holds. */
export const Check = z.object({ name: z.string(), ok: z.boolean(), faults: z.array(z.string()) })
export type Check = z.infer<typeof Check>

/** What `cotterbook verify --json` prints. */
export const VerifyReport = z.object({ ok: z.boolean(), checks: z.array(Check) })
export type VerifyReport = z.infer<typeof VerifyReport>

/** More than these are counted, not listed: a broken disk must not fill the screen. */
const FAULTS_MAX = 200

/** How the fault of a check that could not run begins. */
export const UNREAD = 'could not be checked: '

/** Runs one check; one that cannot run is a fault of its own, never a pass. */
export async function checkRun(name: string, find: () => Promise<string[]> | string[]): Promise<Check> {
  try {
    const all = await find()
    const faults = all.slice(0, FAULTS_MAX)
    if (all.length > FAULTS_MAX) faults.push(`and ${all.length - FAULTS_MAX} more of this kind`)
    return { name, ok: faults.length === 0, faults }
  } catch (error) {
    return { name, ok: false, faults: [`${UNREAD}${error instanceof Error ? error.message : error}`] }
  }
}

export function reportOf(checks: Check[]): VerifyReport {
  return { ok: checks.length > 0 && checks.every((check) => check.ok), checks }
}
