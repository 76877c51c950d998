import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { croston, sba, ses, tsb } from '../../lib/demand/croston.ts'
import { ADI_CUT, CV2_CUT, demandShape } from '../../lib/demand/demand-class.ts'
import { csvCells } from '../support/csv-cells.ts'
import { needReference, readHandbook } from '../support/reference.ts'

const near = (value: number | null | undefined, expected: number, relative = 1e-9) =>
  value != null && Math.abs(value - expected) <= relative * Math.max(Math.abs(expected), 1e-3)

/** Cells of a row that our figures miss; a cell that is empty says that the figure is not defined. */
function missed(
  row: Record<string, string>,
  ours: Record<string, number | string | null | undefined>,
  relative: number,
) {
  return Object.entries(ours).filter(([name, value]) => {
    const cell = row[name]
    if (cell === undefined || cell === '') return false
    return typeof value === 'string' ? value !== cell : !near(value, Number(cell), relative)
  })
}

function figures(history: readonly number[]) {
  const forecast = croston(history)
  const shape = demandShape(history)
  const [whole, first] = [tsb(history), tsb(history, 'first')]
  return {
    adi: shape?.adi,
    cv2: shape?.cv2,
    class: shape?.class,
    croston_size: forecast.size,
    croston_interval: forecast.interval,
    croston: forecast.perPeriod,
    sba: sba(history),
    tsb: whole?.perPeriod,
    tsb_p: whole?.chance,
    tsb_z: whole?.size,
    tsb_first: history.some((demand) => demand > 0) ? first?.perPeriod : 0,
    tsb_first_p: first?.chance,
    tsb_first_z: first?.size,
    ses: ses(history),
  }
}

// Computed with R 4.2.2 and its forecast package, and again by a second program (demand/README.md of the reference).
describe('forecasts as R has them', () => {
  const histories = (context: Parameters<typeof needReference>[0], set: string) => {
    const rows = csvCells(readFileSync(needReference(context, `demand/${set}.csv`), 'utf8'))
    const parts = new Map<string, number[]>()
    for (const { id, quantity } of rows) parts.set(id!, [...(parts.get(id!) ?? []), Number(quantity)])
    return parts
  }

  test('148 real series have the forecasts and classes of the reference', (context) => {
    const sets = new Map(['carparts', 'aircraft', 'refinery'].map((set) => [set, histories(context, set)]))
    const rows = [
      ...csvCells(readFileSync(needReference(context, 'demand/expected/methods.csv'), 'utf8')).map((row) => ({
        ...row,
        set: 'carparts',
      })),
      ...csvCells(readFileSync(needReference(context, 'demand/expected/forecasts.csv'), 'utf8')),
    ] as Record<string, string>[]
    expect(rows).toHaveLength(148)
    for (const row of rows)
      expect([row.id, missed(row, figures(sets.get(row.set!)!.get(row.id!)!), 1e-9)]).toEqual([row.id, []])
  })

  test('sixteen short series, the odd ones among them, come out as worked by hand', (context) => {
    const rows = csvCells(readFileSync(needReference(context, 'demand/expected/short.csv'), 'utf8'))
    expect(rows).toHaveLength(16)
    for (const row of rows)
      expect([row.case, missed(row, figures(row.series!.split(' ').map(Number)), 1e-9)]).toEqual([row.case, []])
  })

  test('every forecast is made from the periods before it', (context) => {
    const rows = csvCells(readFileSync(needReference(context, 'demand/expected/trace.csv'), 'utf8'))
    const past = new Map<string, number[]>()
    for (const row of rows) {
      const history = past.get(row.id!) ?? []
      const { croston: c, sba: s, tsb_first, ses: level } = figures(history)
      if (history.length > 0) {
        const isAsked = history.some((demand) => demand > 0)
        const ours = { croston: c, sba: s, ses: level, ...(isAsked ? { tsb_first } : {}) }
        expect([row.id, row.period, missed(row, ours, 1e-9)]).toEqual([row.id, row.period, []])
      }
      past.set(row.id!, [...history, Number(row.quantity)])
    }
    expect(past.size).toBe(5)
  })
})

// Syntetos, Boylan and Croston 2005; Croston 1972; Syntetos and Boylan 2005; Teunter, Syntetos and Babai 2011: handbook, B/demand.
test('the handbook of check values has the same classes, forecasts and factors', (context) => {
  const cases = readHandbook(needReference(context, 'handbook.json')).filter(
    // Scaled errors are a measure of forecasts that nothing here goes by: stock at equal service judges them.
    ({ area, id }) => area === 'B/demand' && !id.startsWith('mase'),
  )
  expect(cases.length).toBeGreaterThan(12)
  for (const { id, inputs, expected, tolerance } of cases) {
    const { demand, alpha, alpha_size, beta_probability } = inputs as Record<string, number & number[]>
    const found: Record<string, number | string | null | undefined> = {}
    if (id === 'class-cutoffs') Object.assign(found, { ADI: ADI_CUT, CV2: CV2_CUT })
    else if (id.startsWith('class-')) Object.assign(found, demandShape(demand!))
    else if (id.startsWith('croston-')) {
      const { size, interval, perPeriod } = croston(demand!, alpha)
      Object.assign(found, { z: size, p: interval, croston: perPeriod, sba: sba(demand!, alpha) })
    } else if (id.startsWith('tsb-')) {
      const { size, chance, perPeriod } = tsb(demand!, 'series', alpha_size, beta_probability)!
      Object.assign(found, { z: size, prob: chance, tsb: perPeriod })
    } else if (id.startsWith('sba-factor-')) Object.assign(found, { sba: sba([1, 1], alpha) })
    else throw new Error(`no way to check ${id}`)
    const relative = typeof tolerance === 'object' ? (tolerance.rel ?? 1e-4) : 1e-9
    for (const [name, value] of Object.entries(expected as Record<string, number | string>)) {
      // Shale, Boylan and Johnston's factor is not used here.
      if (name === 'sbj') continue
      if (typeof value === 'string') expect([id, found[name]]).toEqual([id, value])
      else expect([id, name, near(found[name] as number, value, relative)]).toEqual([id, name, true])
    }
  }
})

test('a share of the newest demand outside 0 to 1 is refused by name', () => {
  expect(() => ses([1], 0)).toThrow('ses: alpha must be above 0 and at most 1, not 0')
  expect(() => croston([1], 1.5)).toThrow('croston: alpha')
  expect(() => tsb([1], 'first', 0.1, 2)).toThrow('tsb: the share of the newest period')
})
