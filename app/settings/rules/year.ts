/** The last twelve months, as two dates. */
export function lastYear(now: Date): { from: string; to: string } {
  const from = new Date(now)
  from.setUTCFullYear(from.getUTCFullYear() - 1)
  return { from: from.toISOString().slice(0, 10), to: now.toISOString().slice(0, 10) }
}
