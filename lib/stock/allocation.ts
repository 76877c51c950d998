/** A job's open claim on a part; all quantities in minor units. */
export interface Claim {
  needId: number
  /** Accepted and not yet taken. */
  stillWanted: number
  allocated: number
}

/**
 * Shares what is on hand among the claims, which come in order of precedence (oldest job first). What a claim has already
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
