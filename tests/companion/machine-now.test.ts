import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  ageFound,
  type MachineNow,
  modelFound,
  type PartRenewed,
  seasonFound,
} from '../../lib/companion/machine-now.ts'
import type { Rule } from '../../lib/companion/rule.ts'
import { whenSays } from '../../lib/companion/rule-words.ts'
import { RULES } from '../../lib/companion/rules/index.ts'
import { companionSuggest } from '../../lib/companion/suggest.ts'
import { acts, aJob, aLine, parts, TWO_WHEELS } from './builders.ts'

const mower = (more: Partial<MachineNow> = {}): MachineNow => ({
  today: '2026-11-10',
  maker: 'Dunmarrow',
  model: 'T6',
  hourTenths: 13_000,
  year: 2019,
  renewed: [],
  ...more,
})
const renewed = (more: Partial<PartRenewed> = {}): PartRenewed => ({
  figureId: 3,
  item: '5',
  positions: [],
  on: '2021-05-01',
  hourTenths: 4_000,
  ...more,
})
const BELT = { figureId: 3, item: '5', places: [] }

describe('a rule for one model', () => {
  it.each(['T6', 't-6', 'Dunmarrow T6', 'DUNMARROW  T 6'])('%s is the Dunmarrow T6', (name) => {
    expect(modelFound(['Harrowgill 90', name], mower())).toBe('Dunmarrow T6')
  })
  it.each(['T', 'T60', 'Dunmarrow', 'Harrowgill T6'])('%s is another', (name) => {
    expect(modelFound([name], mower())).toBeNull()
  })
})

describe('a rule for a season', () => {
  it.each([
    [10, 3, [10, 11, 12, 1, 2, 3]],
    [4, 9, [4, 5, 6, 7, 8, 9]],
    [12, 12, [12]],
    [1, 12, [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]],
  ])('from month %i to %i holds these months and no other', (from, to, months) => {
    const inIt = Array.from({ length: 12 }, (_, at) => at + 1).filter(
      (month) => seasonFound({ from, to }, mower({ today: `2026-${String(month).padStart(2, '0')}-28` })) !== null,
    )
    expect(inIt).toEqual([...months].sort((a, b) => a - b))
  })

  it('and the rest of the year is the season that begins behind it', () => {
    const month = fc.integer({ min: 1, max: 12 })
    fc.assert(
      fc.property(month, month, month, (from, to, now) => {
        fc.pre((to % 12) + 1 !== from)
        const rest = { from: (to % 12) + 1, to: ((from + 10) % 12) + 1 }
        const machine = mower({ today: `2026-${String(now).padStart(2, '0')}-01` })
        expect([seasonFound({ from, to }, machine), seasonFound(rest, machine)]).toContain(null)
        expect(seasonFound({ from, to }, machine) ?? seasonFound(rest, machine)).not.toBeNull()
      }),
    )
  })
})

// Worked examples: common practice, no source.
describe('how old a part is', () => {
  it('renewed at 400 h on 1 May 2021, the meter at 1,300 h: it has run 900 h, and five years were over on 1 May 2026', () => {
    const machine = mower({ renewed: [renewed()] })
    expect(ageFound({ hours: 900 }, BELT, machine)).toBe('900.0 h since it was renewed on 1 May 2021')
    expect(ageFound({ hours: 901 }, BELT, machine)).toBeNull()
    expect(ageFound({ years: 5 }, BELT, { ...machine, today: '2026-05-01' })).toBe('renewed on 1 May 2021')
    expect(ageFound({ years: 5 }, BELT, { ...machine, today: '2026-04-30' })).toBeNull()
    // Whichever comes first.
    expect(ageFound({ hours: 901, years: 5 }, BELT, machine)).toBe('renewed on 1 May 2021')
  })

  it('never renewed, it may be as old as the machine', () => {
    expect(ageFound({ hours: 1300 }, BELT, mower())).toBe('no renewal on file, machine at 1,300.0 h')
    expect(ageFound({ hours: 1301 }, BELT, mower())).toBeNull()
    // Made some day of 2019: six years are over for certain on the first day of 2026.
    expect(ageFound({ years: 6 }, BELT, mower({ today: '2026-01-01' }))).toBe(
      'no renewal on file, machine made in 2019',
    )
    expect(ageFound({ years: 6 }, BELT, mower({ today: '2025-12-31' }))).toBeNull()
  })

  it('the last renewal counts, of this item of this figure only', () => {
    const again = renewed({ on: '2025-03-01', hourTenths: 11_000 })
    const elsewhere = [renewed({ figureId: 4, on: '2026-10-01' }), renewed({ item: '6', on: '2026-10-01' })]
    const machine = mower({ renewed: [again, renewed(), ...elsewhere] })
    expect(ageFound({ hours: 200 }, BELT, machine)).toBe('200.0 h since it was renewed on 1 Mar 2025')
    expect(ageFound({ hours: 201, years: 2 }, BELT, machine)).toBeNull()
  })

  it('of several places the oldest tells, and a side that was never renewed is as old as the machine', () => {
    const left = renewed({ positions: ['LH'], on: '2026-10-01', hourTenths: 12_900 })
    const at = (places: string[]) => ageFound({ hours: 1000 }, { ...BELT, places }, mower({ renewed: [left] }))
    expect(at(['LH'])).toBeNull()
    expect(at(['LH', 'RH'])).toBe('RH: no renewal on file, machine at 1,300.0 h')
  })

  it('what nobody knows is no age: no reading, no year, a meter that was replaced since', () => {
    expect(ageFound({ hours: 1, years: 1 }, BELT, mower({ hourTenths: null, year: null }))).toBeNull()
    expect(ageFound({ hours: 1 }, BELT, mower({ hourTenths: 500, renewed: [renewed()] }))).toBeNull()
    expect(ageFound({ hours: 1 }, BELT, mower({ renewed: [renewed({ hourTenths: null })] }))).toBeNull()
  })
})

describe('the shipped rules of age and season', () => {
  const job = (partClass: 'v-belt' | 'hose' | 'diaphragm', machine: MachineNow | undefined) =>
    aJob({
      lines: [aLine('5', partClass, { facts: { joint: ['pressure-seal'] } }), aLine('9', 'pulley')],
      positions: TWO_WHEELS,
      edges: [{ first: '5', then: '9' }],
      targets: [{ item: '9', positions: ['LH'], quantity: 1 }],
      figureId: 3,
      machine,
    })

  it('a belt of five years, a hydraulic hose of six: both come off for something else and are renewed', () => {
    expect(parts(companionSuggest(job('v-belt', mower())))).toContain('consider 5 LH x1')
    expect(parts(companionSuggest(job('hose', mower())))).toContain('should 5 LH x1')
    for (const partClass of ['v-belt', 'hose'] as const) {
      const young = mower({ renewed: [renewed({ on: '2024-01-01', hourTenths: 9_000 })] })
      expect(parts(companionSuggest(job(partClass, young)))).toEqual([])
      expect(parts(companionSuggest(job(partClass, undefined)))).toEqual([])
    }
  })

  it('what was found of the machine stands with the reason', () => {
    const [belt] = companionSuggest(job('v-belt', mower()))
      .flatMap((one) => one.reasons)
      .filter(({ ruleId }) => ruleId === 'belt-age')
    expect(belt?.found).toMatchObject({ age: 'LH: no renewal on file, machine at 1,300.0 h' })
  })

  it('frost is spoken of in November and not in June', () => {
    const frost = (today: string) =>
      acts(companionSuggest(job('diaphragm', mower({ today })))).filter((act) => act.includes('frost'))
    expect(frost('2026-11-10')).toHaveLength(1)
    expect(frost('2026-06-10')).toEqual([])
  })

  it('each says its condition in words', () => {
    const says = (id: string) => whenSays(RULES.find((rule) => rule.id === id)!.when)
    expect(says('belt-age')).toBe('a V-belt comes off or is renewed, at least 1000 h or 5 years old')
    expect(says('frost-drain')).toBe('a diaphragm or nozzle comes off or is renewed, from October to March')
    const model: Rule['when'] = { what: 'target', partClass: ['hose'], model: ['T6', 'T8'] }
    expect(whenSays(model)).toBe('a hose is renewed, on T6 or T8')
  })
})
