/** Lead of the front axle that tyre makers usually allow, in per cent; the machine maker's limits rule. */
export const AXLE_LEAD_USUAL = { percentMin: 1, percentMax: 5 } as const

/**
 * How much faster the front tyres of a four-wheel drive tractor would run than the rear ones, in per cent:
 * (front rolling circumference x axle ratio / rear rolling circumference - 1) x 100. Circumferences in metres, tyres as fitted.
 * Source: technical guides of tractor tyre makers (1 to 5 %; others say 1 to 3, 0 to 3 or 0 to 6).
 * Example: 3.8 m, 5.2 m and a ratio of 1.4 give a lead of 2.3 %.
 */
export function axleLead(input: { frontRollingM: number; rearRollingM: number; axleRatio: number }): {
  percent: number
  usual: boolean
} {
  const percent = ((input.frontRollingM * input.axleRatio) / input.rearRollingM - 1) * 100
  return { percent, usual: percent >= AXLE_LEAD_USUAL.percentMin && percent <= AXLE_LEAD_USUAL.percentMax }
}
