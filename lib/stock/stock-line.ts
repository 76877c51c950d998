/** What came and went on one day, over all bins. */
export interface DayChange {
  /** Calendar date, ISO 8601. */
  day: string
  /** Signed minor units. */
  quantity: number
}

export interface StockLine {
  /** On hand from each day on, minor units; the first is the first day of the picture. */
  steps: { day: string; onHand: number }[]
  lowest: number
  highest: number
  /** Whole days at whose end nothing was on hand, and days of the picture. */
  daysEmpty: number
  days: number
}

const DAY_MS = 86_400_000
const dayNumber = (day: string) => Math.round(Date.parse(day) / DAY_MS)

/**
 * On hand of a part day by day, from `from` to `to` (calendar dates, both in it), reckoned back from what is on hand at the end of
 * `to`. `changes` are the days in that time on which something moved, in any order.
 */
export function stockLine(onHand: number, changes: readonly DayChange[], from: string, to: string): StockLine {
  const byDay = new Map<string, number>()
  for (const { day, quantity } of changes)
    if (day >= from && day <= to) byDay.set(day, (byDay.get(day) ?? 0) + quantity)
  const moved = [...byDay].filter(([, quantity]) => quantity !== 0).sort(([a], [b]) => (a < b ? -1 : 1))
  let level = onHand - moved.reduce((sum, [, quantity]) => sum + quantity, 0)
  const steps = [{ day: from, onHand: level }]
  for (const [day, quantity] of moved) {
    level += quantity
    if (day === from) steps[0]!.onHand = level
    else steps.push({ day, onHand: level })
  }
  const levels = steps.map((step) => step.onHand)
  const end = dayNumber(to) + 1
  const daysEmpty = steps.reduce((sum, step, at) => {
    const until = steps[at + 1] ? dayNumber(steps[at + 1]!.day) : end
    return step.onHand <= 0 ? sum + until - dayNumber(step.day) : sum
  }, 0)
  return {
    steps,
    lowest: Math.min(...levels),
    highest: Math.max(...levels),
    daysEmpty,
    days: end - dayNumber(from),
  }
}

/**
 * The line as places on a picture: `x` and `y` from 0 to 1, left to right and bottom to top, two points a step (along, then up or
 * down). `most` is the quantity at the top.
 */
export function stockLinePoints(line: StockLine, most: number): { x: number; y: number }[] {
  const first = dayNumber(line.steps[0]!.day)
  const at = (day: string) => (dayNumber(day) - first) / line.days
  const high = (onHand: number) => (most > 0 ? onHand / most : 0)
  return line.steps.flatMap((step, n) => {
    const next = line.steps[n + 1]
    return [
      { x: at(step.day), y: high(step.onHand) },
      { x: next ? at(next.day) : 1, y: high(step.onHand) },
    ]
  })
}
