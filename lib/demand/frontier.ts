/** What one target of a way gave: service achieved, and what lay on the shelf for it. */
export interface FrontierPoint {
  service: number
  value: number
}

/**
 * Points that are worth having, by service: none of the others gives as much service for less. Service rises along them, and so
 * does the value.
 */
export function frontier(points: readonly FrontierPoint[]): FrontierPoint[] {
  const kept: FrontierPoint[] = []
  for (const point of [...points].sort((a, b) => a.value - b.value || b.service - a.service))
    if (point.service > (kept.at(-1)?.service ?? Number.NEGATIVE_INFINITY)) kept.push(point)
  return kept
}

/** The least stock that gives the service, on straight lines between the points; null where none gives so much. */
export function stockFor(points: readonly FrontierPoint[], service: number): number | null {
  const line = frontier(points)
  const above = line.findIndex((point) => point.service >= service)
  if (above === -1) return null
  const [high, low] = [line[above]!, line[above - 1]]
  // Less than the first point was not tried: it would cost no more than that one.
  if (!low || high.service === low.service) return high.value
  return low.value + ((service - low.service) / (high.service - low.service)) * (high.value - low.value)
}

export interface WayPoints {
  name: string
  points: readonly FrontierPoint[]
}

export interface WayChosen {
  name: string
  value: number
  /** The next best; null where no other way gives the service. */
  next: { name: string; value: number } | null
}

/** The way that needs the least stock for the service; ties go to the one named first. Null where no way gives it. */
export function wayChoose(ways: readonly WayPoints[], service: number): WayChosen | null {
  const able = ways
    .flatMap(({ name, points }) => {
      const value = stockFor(points, service)
      return value === null ? [] : [{ name, value }]
    })
    .sort((a, b) => a.value - b.value)
  const [best, next] = able
  return best ? { ...best, next: next ?? null } : null
}
