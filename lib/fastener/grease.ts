import table from './grease.json'

export const GREASE_SOURCE = table.source

/**
 * Grease in grams to relubricate a rolling bearing: G = 0.005 D B, with outside diameter D and width B in mm
 * (thrust bearings: total height). Source: rolling bearing makers' general catalogues. Example: 6206 (62 x 16) takes 4.96 g.
 */
export function greaseGrams(outsideMm: number, widthMm: number): number {
  return table.gramsPerMm2 * outsideMm * widthMm
}

/** The same in ounces for inches: 0.114 D B. */
export function greaseOunces(outsideIn: number, widthIn: number): number {
  return table.ouncesPerIn2 * outsideIn * widthIn
}

/**
 * Grease in grams to pack one open wheel bearing at first, an estimate to take along: the bearing itself full, and of the space beside
 * it, taken as large as the ring of the bearing, a third. Free space of the bearing is 0.3 of its ring, pi/4 B (D^2 - d^2) less the
 * steel in it. Without a bore half of the outside diameter is taken. Example: 32210-like, 50 x 90 x 21.75: ring 95.7 cm3, 54.5 g.
 * The maker's figure rules; a relubrication through a nipple is far less, see greaseGrams.
 */
export function greaseFirstFillGrams(size: {
  outsideMm: number
  widthMm: number
  boreMm?: number | undefined
}): number {
  const { outsideMm, widthMm, boreMm = outsideMm / 2 } = size
  const ringCm3 = ((Math.PI / 4) * widthMm * (outsideMm ** 2 - boreMm ** 2)) / 1000
  const { freeShare, spaceBesideShare, gramsPerCm3 } = table.firstFill
  return ringCm3 * (freeShare + spaceBesideShare) * gramsPerCm3
}

/** How full an open bearing and the space around it are packed at first, in per cent of free space. */
export const GREASE_FIRST_FILL = table.firstFill
