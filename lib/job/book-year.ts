/** What a year of the service book needs to know of an entry. */
export interface YearEntry {
  writtenAt: Date
  /** repair or service; null for a correction. */
  kind: string | null
  partsCostMinor: number
  labourMinutes: number
}

export interface YearReading {
  at: Date
  hourTenths: number
}

export interface BookYear {
  year: number
  repairs: number
  services: number
  partsCostMinor: number
  labourMinutes: number
  /** Tenths of an hour run between the last reading before the year and the last one in it; null without two readings. */
  runTenths: number | null
  /** Parts, money minor units for an hour run; null where nothing is known to have run. */
  costPerHourMinor: number | null
}

/**
 * The service book by calendar year (UTC), newest first, years without entries left out. Readings may come in any order; where
 * the meter fell (a new one was fitted), the hours of that step count as none rather than below none.
 */
export function bookYears(entries: readonly YearEntry[], readings: readonly YearReading[]): BookYear[] {
  const years = new Map<number, BookYear>()
  for (const entry of entries) {
    const year = entry.writtenAt.getUTCFullYear()
    const row = years.get(year) ?? {
      year,
      repairs: 0,
      services: 0,
      partsCostMinor: 0,
      labourMinutes: 0,
      runTenths: null,
      costPerHourMinor: null,
    }
    if (entry.kind === 'repair') row.repairs += 1
    if (entry.kind === 'service') row.services += 1
    row.partsCostMinor += entry.partsCostMinor
    row.labourMinutes += entry.labourMinutes
    years.set(year, row)
  }
  const run = runByYear(readings)
  return [...years.values()]
    .sort((a, b) => b.year - a.year)
    .map((row) => {
      const runTenths = run.get(row.year) ?? null
      return {
        ...row,
        runTenths,
        costPerHourMinor: runTenths ? Math.round((row.partsCostMinor * 10) / runTenths) : null,
      }
    })
}

/** Each step between readings counts for the year in which the later one was taken. */
function runByYear(readings: readonly YearReading[]): Map<number, number> {
  const sorted = [...readings].sort((a, b) => a.at.getTime() - b.at.getTime() || a.hourTenths - b.hourTenths)
  const run = new Map<number, number>()
  for (const [at, reading] of sorted.entries()) {
    const before = sorted[at - 1]
    if (!before) continue
    const year = reading.at.getUTCFullYear()
    run.set(year, (run.get(year) ?? 0) + Math.max(0, reading.hourTenths - before.hourTenths))
  }
  return run
}
