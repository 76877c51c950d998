import { describe, expect, test } from 'vitest'
import {
  LEVEL_SETTINGS,
  LevelSettingsForm,
  leastYear,
  reckoningDue,
  serviceAim,
} from '../../lib/replenish/level-settings.ts'

describe('the nightly reckoning', () => {
  const at = (hour: number, last: string | null) =>
    reckoningDue({ nightly: true, hour: 3 }, { day: '2026-11-28', hour }, last)

  test('is due from its hour on, once a day', () => {
    expect(at(2, '2026-11-27')).toBe(false)
    expect(at(3, '2026-11-27')).toBe(true)
    expect(at(9, '2026-11-28')).toBe(false)
    expect(at(9, null)).toBe(true)
  })

  test('is not made where it is switched off', () => {
    expect(reckoningDue({ nightly: false, hour: 3 }, { day: '2026-11-28', hour: 12 }, null)).toBe(false)
  })
})

describe('how levels are set', () => {
  const typed = Object.fromEntries(
    Object.entries(LEVEL_SETTINGS).flatMap(([name, value]) => (name === 'nightly' ? [] : [[name, String(value)]])),
  )

  test('is typed in money and per cent, and a box without its tick is off', () => {
    const read = LevelSettingsForm.parse({ ...typed, orderCostMinor: '12.50', standingDayMinor: '80' })
    expect(read).toMatchObject({ orderCostMinor: 1250, standingDayMinor: 8000, nightly: false, stepTimes: 2 })
    expect(serviceAim(read, 'vital')).toEqual({ kind: 'fill', share: 0.99 })
    expect(serviceAim({ ...read, fillEssential: 97.5, aimEssential: 'cycle' }, 'essential')).toEqual({
      kind: 'cycle',
      share: 0.975,
    })
    expect(
      LevelSettingsForm.parse({ ...typed, aimVital: 'cycle', orderCostMinor: '1', standingDayMinor: '1' }),
    ).toMatchObject({ aimVital: 'cycle', aimEssential: 'fill' })
    expect(LevelSettingsForm.safeParse({ ...typed, aimVital: 'stock' }).error?.issues[0]).toMatchObject({
      path: ['aimVital'],
      message: 'choose what the share is of',
    })
    expect(leastYear(read, 'desirable')).toBe(1)
  })

  test('refuses a step that goes nowhere, a target nobody can meet and an amount that is none', () => {
    const wrong = { ...typed, orderCostMinor: 'ten', standingDayMinor: '80', stepTimes: '1', fillVital: '100' }
    const faults = LevelSettingsForm.safeParse(wrong)
    expect(faults.success).toBe(false)
    expect(faults.error?.issues.map((issue) => issue.path[0])).toEqual(
      expect.arrayContaining(['stepTimes', 'fillVital']),
    )
    expect(LevelSettingsForm.safeParse({ ...typed, orderCostMinor: 'ten' }).error?.issues[0]?.path).toEqual([
      'orderCostMinor',
    ])
  })
})
