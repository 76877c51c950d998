export type DemandClass = 'smooth' | 'erratic' | 'intermittent' | 'lumpy'

/** Cut-offs of Syntetos, Boylan and Croston, Journal of the Operational Research Society 56 (2005). */
export const ADI_CUT = 1.32
export const CV2_CUT = 0.49

export interface DemandShape {
  /** Periods for each period with demand. */
  adi: number
  /** Squared coefficient of variation of what was asked for when something was: sample variance over squared mean. */
  cv2: number
  class: DemandClass
}

/** Which kind of demand a history shows; null where nothing was ever asked for. On a cut-off counts as above it. */
export function demandShape(history: readonly number[]): DemandShape | null {
  const demands = history.filter((demand) => demand > 0)
  if (demands.length === 0) return null
  const adi = history.length / demands.length
  const mean = demands.reduce((sum, demand) => sum + demand, 0) / demands.length
  const squares = demands.reduce((sum, demand) => sum + (demand / mean - 1) ** 2, 0)
  const cv2 = demands.length === 1 ? 0 : squares / (demands.length - 1)
  // A division leaves 1.32 and 0.49 themselves a hair below or above; on the line is above.
  const isSeldom = adi >= ADI_CUT * (1 - 1e-12)
  const isVaried = cv2 >= CV2_CUT * (1 - 1e-12)
  return { adi, cv2, class: isSeldom ? (isVaried ? 'lumpy' : 'intermittent') : isVaried ? 'erratic' : 'smooth' }
}
