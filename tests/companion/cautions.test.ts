import { describe, expect, test } from 'vitest'
import { PART_CLASSES } from '../../lib/catalogue/part-class.ts'
import { CAUTION_STAGES, cautionsFor, wetMethodPairsPerWeekMax } from '../../lib/companion/cautions.ts'

type Case = Partial<Parameters<typeof cautionsFor>[0]>
const said = (job: Case, stage: Parameters<typeof cautionsFor>[1]) =>
  cautionsFor({ drive: 'engine', classes: [], ...job }, stage)
const ids = (...args: Parameters<typeof said>) => said(...args).map((caution) => caution.id)
const everything = {
  classes: PART_CLASSES,
  safetyJoints: ['brake', 'steering', 'cutting', 'pto'] as const,
  massKg: [200],
  fillLitres: [5],
}

describe('cautions at the step where they matter', () => {
  test('the key of a tractor comes out before anything, whatever the job', () => {
    expect(ids({ classes: [] }, 'before')).toEqual(['key-out'])
    for (const stage of ['strip', 'rebuild', 'test'] as const) expect(ids({ classes: [] }, stage)).toEqual([])
  })

  test('an opened drum: dust at the strip, cleaner at the rebuild, walk in the yard at the test', () => {
    const drum = { classes: ['brake-drum', 'brake-shoe', 'return-spring'] as const, safetyJoints: ['brake'] as const }
    expect(ids(drum, 'before')).toContain('supports')
    expect(ids(drum, 'strip')).toEqual(expect.arrayContaining(['brake-dust', 'springs']))
    expect(ids(drum, 'rebuild')).toContain('cleaner')
    expect(ids(drum, 'test')).toEqual(['brake-test'])
    const dust = said(drum, 'strip').find((caution) => caution.id === 'brake-dust')
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
    const drives = ['engine', 'drawn', 'driven', 'stationary', null] as const
    const jobs = drives.flatMap((drive) => [
      { ...everything, drive },
      { drive, classes: [] },
    ])
    const all = [
      ...new Map(
        jobs
          .flatMap((job) => CAUTION_STAGES.flatMap((stage) => cautionsFor(job, stage)))
          .map((caution) => [caution.id, caution]),
      ).values(),
    ]
    expect(all.length).toBeGreaterThan(15)
    for (const caution of all) {
      expect(caution.words.length, caution.id).toBeLessThanOrEqual(200)
      expect(caution.defers, caution.id).toMatch(/manual|local rules|trained|qualified|data sheet/i)
      expect(caution.source.length, caution.id).toBeGreaterThan(5)
      expect(`${caution.words} ${caution.defers}`, caution.id).not.toMatch(/[{}]/)
    }
    for (const job of jobs) {
      const once = CAUTION_STAGES.flatMap((stage) => cautionsFor(job, stage)).map((caution) => caution.id)
      expect(new Set(once).size).toBe(once.length)
    }
  })

  test('the limit of the wet method is said in words', () => {
    const words = said({ classes: ['brake-pad'] }, 'strip').map((caution) => caution.words)
    expect(words.some((text) => text.includes(`${wetMethodPairsPerWeekMax()} pairs`))).toBe(true)
  })

  // A brake that is taken apart holds nothing: common practice, no source.
  test('nobody is told to put the brake on that is about to come apart', () => {
    for (const drive of ['engine', 'drawn', 'driven', 'stationary', null] as const) {
      for (const job of [
        { classes: ['brake-shoe'] as const },
        { classes: ['clevis-pin'] as const, safetyJoints: ['brake'] as const },
      ]) {
        const before = said({ drive, ...job }, 'before')
        expect(before.map((caution) => caution.words).join(' '), String(drive)).not.toMatch(/brake on\b/)
        expect(
          before.map((caution) => caution.id),
          String(drive),
        ).toContain('hold')
      }
    }
    expect(ids({ drive: 'drawn', classes: ['bearing'] }, 'before')).toEqual(['drawn-stop'])
  })

  test('a trailer has no engine to stop, a mower has the tractor’s, a pump set has its drive locked', () => {
    const words = (drive: Case['drive']) =>
      said({ drive }, 'before')
        .map((caution) => caution.words)
        .join(' ')
    expect(words('drawn')).not.toMatch(/engine off|out of gear|battery/)
    expect(words('driven')).toMatch(/tractor .*its engine off.*drive shaft off/)
    expect(words('stationary')).toMatch(/locked and tagged/)
    expect(words(null)).toMatch(/whatever drives it is off/)
    for (const drive of ['engine', 'drawn', 'driven', 'stationary', null] as const)
      expect(said({ drive }, 'before')).toHaveLength(1)
  })
})
