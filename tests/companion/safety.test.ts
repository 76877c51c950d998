import { describe, expect, test } from 'vitest'
import { cautionsFor } from '../../lib/companion/cautions.ts'
import { companionSuggest, type FigureLine } from '../../lib/companion/suggest.ts'
import { acts, aJob, aLine, parts } from './builders.ts'

/* What can hurt somebody, by the joint and not only by the class of a part: common practice, no source, unless named. */

const said = (line: FigureLine, ...more: FigureLine[]) =>
  acts(
    companionSuggest(
      aJob({ lines: [line, ...more], targets: [{ item: line.item, positions: [], quantity: line.quantity }] }),
    ),
  ).join('\n')

describe('fuel', () => {
  // HSE, safe use of petrol and diesel in garages, from memory.
  test('whatever is opened, no flame comes first and bleeding last, as musts', () => {
    for (const partClass of ['screw', 'filter', 'hose', 'cover'] as const) {
      const words = said(aLine('14', partClass, { facts: { fluid: 'fuel' } }))
      expect(words, partClass).toMatch(/must: .*no flame, no smoking/)
      expect(words, partClass).toMatch(/must: .*bled until no more air comes/)
    }
    expect(said(aLine('14', 'filter', { facts: { fluid: 'engine-oil' } }))).not.toMatch(/flame|bled/)
  })

  test('the job card says so before anything else is done', () => {
    const first = (fluids: ('fuel' | 'coolant')[]) =>
      cautionsFor({ drive: 'engine', classes: ['filter'], fluids }, 'before').map(({ id }) => id)
    expect(first(['fuel'])).toContain('fuel')
    expect(first(['coolant'])).not.toContain('fuel')
  })
})

describe('by the joint', () => {
  test.each(['lever', 'clevis-pin', 'bolt', 'other'] as const)('a %s of the brake is tried before release', (one) => {
    expect(said(aLine('4', one, { facts: { safetyJoint: 'brake' } }))).toMatch(/must: Before release: walking pace/)
    expect(said(aLine('4', one))).not.toMatch(/walking pace/)
  })

  test('a shoe is of the brake even where the list does not say so', () => {
    expect(said(aLine('4', 'brake-shoe'))).toMatch(/must: Before release: walking pace/)
  })

  test('a clamp bolt of the steering: stands, and lock to lock before release', () => {
    const words = said(aLine('21', 'bolt', { facts: { safetyJoint: 'steering' } }))
    expect(words).toMatch(/must: Steered wheels .*rated stands/)
    expect(words).toMatch(/must: Before release: steer from lock to lock/)
  })

  test('stands are asked for once, though knuckle and arm both want them', () => {
    const words = said(
      aLine('1', 'axle', { facts: { safetyJoint: 'steering' } }),
      aLine('21', 'bolt', { attaches: '1', facts: { safetyJoint: 'steering' } }),
    )
    expect(words.match(/stands/g)).toHaveLength(1)
  })

  test('a wheel bearing nut says that end float is set by the manual', () => {
    expect(said(aLine('18', 'castle-nut'))).toMatch(/turn the hub while tightening, back off to the slot; end float/)
  })
})

describe('what would be wrong', () => {
  test('no paste on a bearing, nor on a fit that runs in oil; on a pulley in the weather there is', () => {
    const paste = (line: FigureLine) =>
      companionSuggest(aJob({ lines: [line], targets: [{ item: '3', positions: [], quantity: 1 }] })).some(({ key }) =>
        key.startsWith('consumable:anti-seize'),
      )
    expect(paste(aLine('3', 'bearing', { facts: { joint: ['shaft-fit'] } }))).toBe(false)
    expect(paste(aLine('3', 'shaft', { facts: { joint: ['shaft-fit', 'in-oil'] } }))).toBe(false)
    expect(paste(aLine('3', 'pulley', { facts: { joint: ['shaft-fit'] } }))).toBe(true)
  })

  test('a spring that fingers hold needs no warning; one of which nothing is said does', () => {
    expect(said(aLine('15', 'spring', { facts: { joint: ['light-spring'] } }))).not.toMatch(/store energy/)
    expect(said(aLine('15', 'spring'))).toMatch(/store energy/)
  })

  test('the guard of a belt is no shaft guard', () => {
    expect(said(aLine('17', 'guard'))).not.toMatch(/shaft guard/)
    expect(said(aLine('17', 'guard', { facts: { safetyJoint: 'pto' } }))).toMatch(/must: The shaft guard/)
    expect(said(aLine('4', 'joint-cross'))).toMatch(/must: The shaft guard/)
  })

  test('a spray pipe is not capped like a hydraulic line', () => {
    expect(said(aLine('12', 'valve', { facts: { fluid: 'water' } }))).not.toMatch(/cap every line/)
    expect(said(aLine('12', 'valve'))).toMatch(/cap every line/)
  })
})

describe('a mechanical seal', () => {
  const pump = (target: string) =>
    parts(
      companionSuggest(
        aJob({
          lines: [
            aLine('7', 'seal-kit', { facts: { matchedWith: '8' } }),
            aLine('8', 'seal-kit', { facts: { matchedWith: '7' } }),
            aLine('13', 'shaft'),
          ],
          edges: [{ first: '7', then: '13' }],
          targets: [{ item: target, positions: [], quantity: 1 }],
        }),
      ),
    )

  test('goes with both halves, asked for or only come apart', () => {
    expect(pump('7')).toContain('must 8 x1')
    expect(pump('8')).toContain('must 7 x1')
    expect(pump('13')).toEqual(expect.arrayContaining(['must 7 x1', 'must 8 x1']))
  })
})
