import { describe, expect, test } from 'vitest'
import { PART_CLASSES } from '../../lib/catalogue/part-class.ts'
import { CAUTION_STAGES, cautionsFor, wetMethodPairsPerWeekMax } from '../../lib/companion/cautions.ts'

const ids = (...args: Parameters<typeof cautionsFor>) => cautionsFor(...args).map((caution) => caution.id)
const everything = {
  classes: PART_CLASSES,
  safetyJoints: ['brake', 'steering', 'cutting', 'pto'] as const,
  massKg: [200],
  fillLitres: [5],
}

describe('cautions at the step where they matter', () => {
  test('the key comes out before anything, whatever the job', () => {
    expect(ids({ classes: [] }, 'before')).toEqual(['key-out'])
    for (const stage of ['strip', 'rebuild', 'test'] as const) expect(ids({ classes: [] }, stage)).toEqual([])
  })

  test('an opened drum: dust at the strip, cleaner at the rebuild, walk in the yard at the test', () => {
    const drum = { classes: ['brake-drum', 'brake-shoe', 'return-spring'] as const, safetyJoints: ['brake'] as const }
    expect(ids(drum, 'before')).toContain('supports')
    expect(ids(drum, 'strip')).toEqual(expect.arrayContaining(['brake-dust', 'springs']))
    expect(ids(drum, 'rebuild')).toContain('cleaner')
    expect(ids(drum, 'test')).toEqual(['brake-test'])
    const dust = cautionsFor(drum, 'strip').find((caution) => caution.id === 'brake-dust')
    expect(dust?.words).toMatch(/never blow/i)
    expect(dust?.defers).toMatch(/trained people/)
  })

  test('a steering or a cutting joint has its own test even where no class says so', () => {
    expect(ids({ classes: ['bolt'], safetyJoints: ['steering'] }, 'test')).toEqual(['steering-test'])
    expect(ids({ classes: ['bolt'], safetyJoints: ['cutting'] }, 'before')).toEqual(['key-out', 'prop'])
  })

  // HSE manual handling figures: 25 kg, from memory.
  test('25 kg is carried, a bit more is slung; a drop of oil is caught', () => {
    expect(ids({ classes: [], massKg: [3, 25] }, 'strip')).toEqual([])
    expect(ids({ classes: [], massKg: [3, 25.1] }, 'strip')).toEqual(['heavy'])
    expect(ids({ classes: [], fillLitres: [0] }, 'strip')).toEqual([])
    expect(ids({ classes: [], fillLitres: [0.2] }, 'strip')).toEqual(['fluids'])
  })

  test('every caution is short, has a source and gives way to manual, rules or qualified people', () => {
    const all = CAUTION_STAGES.flatMap((stage) => cautionsFor(everything, stage))
    expect(all.length).toBeGreaterThan(15)
    for (const caution of all) {
      expect(caution.words.length, caution.id).toBeLessThanOrEqual(200)
      expect(caution.defers, caution.id).toMatch(/manual|local rules|trained|qualified|data sheet/i)
      expect(caution.source.length, caution.id).toBeGreaterThan(5)
      expect(`${caution.words} ${caution.defers}`, caution.id).not.toMatch(/[{}]/)
    }
    expect(new Set(all.map((caution) => caution.id)).size).toBe(all.length)
  })

  test('the limit of the wet method is said in words', () => {
    const words = cautionsFor({ classes: ['brake-pad'] }, 'strip').map((caution) => caution.words)
    expect(words.some((text) => text.includes(`${wetMethodPairsPerWeekMax()} pairs`))).toBe(true)
  })
})
