/** Dates as a workshop writes them: 3 Nov 2026. UTC is kept; the server's zone is shown. */
export function dateSays(at: Date | string): string {
  // A plain date (due on 2026-12-03) has no hour: read in the server's zone it could slip to the day before.
  const isPlainDate = typeof at === 'string' && at.length === 10
  return new Intl.DateTimeFormat('en-GB', {
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    ...(isPlainDate ? { timeZone: 'UTC' } : {}),
  }).format(new Date(at))
}

/** The months by name, January first. */
export const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
] as const
