const HOURS = /^(\d{1,4})(?:[.,](\d{1,2}))?$/
const CLOCK = /^(\d{1,4}):([0-5]\d)$/

/** Minutes of hours that were typed as 6, 6.5 or 6:30; null where it is neither. */
export function minutesOfHours(text: string): number | null {
  const typed = text.trim()
  const clock = CLOCK.exec(typed)
  if (clock) return Number(clock[1]) * 60 + Number(clock[2])
  return HOURS.test(typed) ? Math.round(Number(typed.replace(',', '.')) * 60) : null
}

/** Minutes as they can be typed again without losing any: 6.5, or 6:20. */
export function hoursTyped(minutes: number): string {
  return minutes % 6 === 0
    ? String(minutes / 60)
    : `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`
}

/** Minutes as hours to a tenth: 6.5. */
export function hoursNumber(minutes: number): string {
  return String(Math.round(minutes / 6) / 10)
}

/** "6.5 h" */
export function hoursSay(minutes: number): string {
  return `${hoursNumber(minutes)} h`
}
