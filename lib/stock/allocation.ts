/** A job's open claim on a part; all quantities in minor units. */
export interface Claim {
  needId: number
  /** Accepted and not yet taken. */
  stillWanted: number
  allocated: number
}

/** How much a job matters, the first first. */
export const PRIORITIES = { 1: 'first', 2: 'usual', 3: 'can wait' } as const
export type Priority = keyof typeof PRIORITIES

/** When a job needs its parts, as far as somebody said. */
export interface Precedence {
  /** 1 first, 2 usual, 3 can wait. */
  priority: number
  /** Calendar date, ISO 8601. */
  needOn: string | null
  /** Grows with every job that is opened. */
  jobId: number
}

/** Order in which jobs are served: by how much they matter, then by the day, a job without one behind those with one, then the older. */
export function precedenceOrder(a: Precedence, b: Precedence): number {
  if (a.priority !== b.priority) return a.priority - b.priority
  if (a.needOn !== b.needOn) {
    if (a.needOn === null) return 1
    if (b.needOn === null) return -1
    return a.needOn < b.needOn ? -1 : 1
  }
  return a.jobId - b.jobId
}

/**
 * Shares what is on hand among the claims, which come in order of precedence (`precedenceOrder`). What a claim has already
 * is not taken away for a later one, as long as the shelf holds it; what is free goes to the first that still wants some.
 * Answers the new allocation of each claim, in the same order. Never hands out more than is on hand.
 */
export function allocationShare(onHand: number, claims: readonly Claim[]): number[] {
  let left = Math.max(0, onHand)
  const kept = claims.map((claim) => {
    const keep = Math.min(claim.allocated, claim.stillWanted, left)
    left -= keep
    return keep
  })
  return claims.map((claim, at) => {
    const more = Math.min(claim.stillWanted - kept[at]!, left)
    left -= more
    return kept[at]! + more
  })
}
