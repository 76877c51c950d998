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

/** How full an open bearing and the space around it are packed at first, in per cent of free space. */
export const GREASE_FIRST_FILL = table.firstFill
