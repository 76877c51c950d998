export interface Measured {
  what: string
  unit: 'ms' | 'ratio' | 'per second'
  measured: number
  /** Null where the house has set no bar: the number is there to be compared with. */
  bar: { value: number; is: 'at most' | 'at least' } | null
}

function met(one: Measured): string {
  if (!one.bar) return ''
  const kept = one.bar.is === 'at most' ? one.measured <= one.bar.value : one.measured >= one.bar.value
  return kept ? 'ok' : 'missed'
}

function figures(value: number): string {
  return value >= 100 ? value.toFixed(0) : value >= 10 ? value.toFixed(1) : value.toFixed(2)
}

/** The measurements as a table for people; numbers keep two to three figures. */
export function reportTable(facts: Record<string, number>, measured: readonly Measured[]): string {
  const head = Object.entries(facts)
    .map(([name, value]) => `${name} ${value.toLocaleString('en')}`)
    .join(', ')
  const rows = measured.map((one) => [
    one.what,
    one.bar ? `${one.bar.is} ${one.bar.value}` : '-',
    figures(one.measured),
    one.unit,
    met(one),
  ])
  const all = [['what', 'bar', 'measured', 'unit', ''], ...rows]
  const widths = all[0]!.map((_, at) => Math.max(...all.map((row) => row[at]!.length)))
  const lines = all.map((row) =>
    row
      .map((cell, at) => cell.padEnd(widths[at]!))
      .join('  ')
      .trimEnd(),
  )
  return [head, '', ...lines].join('\n')
}
