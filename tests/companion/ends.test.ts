import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { ruleParse } from '../../lib/companion/rule.ts'
import { companionSuggest, type FigureLine } from '../../lib/companion/suggest.ts'
import type { ShaftEnd } from '../../lib/figure/shaft-end.ts'
import { acts, aJob, aLine, aPart, consumables, parts, TWO_WHEELS } from './builders.ts'

const BOTH: ShaftEnd[] = ['DE', 'NDE']
const both = (item: string, partClass: FigureLine['partClass'], quantity = 2, more: Partial<FigureLine> = {}) =>
  aLine(item, partClass, { quantity, ...more, facts: { ends: BOTH, ...more.facts } })

/** A rotor in two bearings: pulley on its drive end, a cover with its gasket on the other one. */
const rotor = (positions: string[], more: Partial<Parameters<typeof aJob>[0]> = {}, item = '9') =>
  aJob({
    lines: [
      aLine('1', 'rotor'),
      both('7', 'oil-seal'),
      both('8', 'housing'),
      both('9', 'bearing', 2, {
        facts: { joint: ['bearing-fill'] },
        partFacts: { boreMm: 40, outsideMm: 90, widthMm: 23 },
      }),
      both('10', 'circlip', 2, { attaches: '9' }),
      both('13', 'spring-washer', 8, { attaches: '8' }),
      aLine('16', 'pulley', { facts: { ends: ['DE'] } }),
      aLine('18', 'castle-nut', { attaches: '16', facts: { ends: ['DE'], thread: 'M24' } }),
      aLine('19', 'split-pin', { attaches: '18', facts: { ends: ['DE'] } }),
      aLine('20', 'cover', { facts: { ends: ['NDE'] } }),
      aLine('21', 'bolt', { quantity: 3, attaches: '20', facts: { ends: ['NDE'], torqueNm: 25, torqueState: 'dry' } }),
      aLine('22', 'gasket', { facts: { ends: ['NDE'] } }),
    ],
    edges: [
      { first: '16', then: '10' },
      { first: '20', then: '22' },
      { first: '22', then: '10' },
      { first: '8', then: '9' },
      { first: '9', then: '7' },
      { first: '7', then: '1' },
    ],
    targets: [{ item, positions, quantity: Math.max(1, positions.length) }],
    ...more,
  })
const listed = (input: ReturnType<typeof aJob>) => parts(companionSuggest(input)).sort()
const atEnd = (input: ReturnType<typeof aJob>) => companionSuggest(input).filter(({ key }) => key.includes('~end'))

// Common practice, no source: who works on one bearing opens that end, and the other one has run the same hours.
describe('the bearing of one end of a rotor', () => {
  test('of the drive end takes the seal and circlip of that end, and the split pin of the pulley that holds it in', () => {
    const found = listed(rotor(['DE']))
    expect(found).toEqual(
      expect.arrayContaining([
        'must 7 DE x1',
        'consider 10 DE x1',
        'consider 13 DE x4',
        'must 19 x1',
        'should 9 NDE x1',
      ]),
    )
  })

  test('of the other end leaves the pulley on: its split pin is asked for no more strongly than the drive end is', () => {
    const found = companionSuggest(rotor(['NDE']))
    expect(parts(found)).toEqual(expect.arrayContaining(['must 7 NDE x1', 'must 22 x1', 'should 9 DE x1']))
    const pin = found.find(({ item }) => item === '19')
    expect([pin?.strength, pin?.key]).toEqual(['should', expect.stringMatching(/~end.*\+other$/)])
    expect(pin?.reasons[0]?.found.when).toBe('when the drive end is done too')
  })

  test('asks for the same bearing at the other end with its reason, and takes back nothing once both are renewed', () => {
    const other = companionSuggest(rotor(['DE'])).find(({ item }) => item === '9')
    expect(other).toMatchObject({ strength: 'should', positions: ['NDE'], quantity: 1, family: 'pair' })
    expect(other?.reasons[0]).toMatchObject({ ruleId: 'bearing-other-end', source: 'common practice, no source' })
    expect(other?.reasons[0]?.found).toMatchObject({ positions: 'drive end', 'other end': 'non-drive end' })
    expect(atEnd(rotor(['DE', 'NDE']))).toEqual([])
  })

  test('never asks for parts of the other end more strongly than for what leads there, until somebody agrees', () => {
    expect(atEnd(rotor(['DE'])).map(({ strength }) => strength)).not.toContain('must')
    const agreed = rotor(['DE'], { alsoStripped: ['NDE'] })
    expect(listed(agreed)).toEqual(expect.arrayContaining(['must 7 NDE x1', 'must 22 x1', 'must 7 DE x1']))
    // A seal alone hardly leads to the other end: nothing there is more than looked at.
    const seal = atEnd(rotor(['DE'], {}, '7'))
    expect(seal.length).toBeGreaterThan(2)
    expect(new Set(seal.map(({ strength }) => strength))).toEqual(new Set(['consider']))
  })

  test('says nothing of the torque of the far cover while nobody means to take that cover off', () => {
    const said = (more: Parameters<typeof rotor>[1]) => acts(companionSuggest(rotor(['DE'], more))).join()
    expect(said({})).not.toContain('Item 21')
    expect(said({ alsoStripped: ['NDE'] })).toContain('Item 21: 25 N m')
  })

  test('with no end named is asked for as ever: all of everything, no end said, nothing for another one', () => {
    const found = companionSuggest(rotor([]))
    expect(found.filter(({ positions }) => positions.length > 0)).toEqual([])
    expect(parts(found)).toEqual(expect.arrayContaining(['must 7 x2', 'consider 13 x8', 'must 19 x1', 'must 22 x1']))
  })

  test('counts what is put on for both ends as it does where none is named', () => {
    const grease = aPart(500, 'grease', { unit: 'kilogram', partFacts: { grade: 'lithium EP2' } })
    const used = (positions: string[]) => consumables(companionSuggest(rotor(positions, { shelf: [grease] })))
    expect(used(['DE', 'NDE'])).toEqual(used([]))
    // Worn and put on, not fitted at an end: the service book says no place of it.
    const found = companionSuggest(rotor(['DE'], { shelf: [grease] }))
    expect(found.filter(({ kind }) => kind !== 'part').flatMap(({ positions }) => positions)).toEqual([])
    expect(used([])).toContainEqual(expect.stringContaining('grease'))
  })
})

describe('ends beside sides and stations', () => {
  test('of two rotors side by side the left drive end alone is counted, and the same of the other end', () => {
    const gang = (positions: string[]) => rotor(positions, { positions: TWO_WHEELS })
    expect(listed(gang(['LH', 'DE']))).toEqual(
      expect.arrayContaining(['must 7 LH+DE x1', 'consider 13 LH+DE x4', 'must 19 LH x1', 'should 9 LH+NDE x1']),
    )
    expect(listed(gang(['LH', 'RH', 'DE']))).toEqual(
      expect.arrayContaining([
        'must 7 LH+RH+DE x2',
        'consider 13 LH+RH+DE x8',
        'must 19 LH+RH x2',
        'should 9 LH+RH+NDE x2',
      ]),
    )
  })

  test('a pair of sides keeps the end that is in hand', () => {
    const rule = ruleParse({
      id: 'gang-pair',
      words: 'The other rotor of the gang has run the same hours.',
      family: 'pair',
      source: 'common practice, no source',
      strength: 'must',
      when: { what: 'target', partClass: ['bearing'], paired: true },
      then: { what: 'same-part-at-paired-position' },
    })
    expect(listed(rotor(['LH', 'DE'], { positions: TWO_WHEELS, rules: [rule] }))).toEqual(['must 9 RH+DE x1'])
  })

  test('a knife at its station opens no end, and a rotor renewed beside one bearing opens both', () => {
    const lines = [aLine('2', 'flail-knife', { quantity: 24, facts: { stations: 24 } }), ...rotor([]).lines]
    const knife = aJob({ lines, targets: [{ item: '2', positions: ['5'], quantity: 1 }] })
    expect(companionSuggest(knife).flatMap(({ positions }) => positions)).not.toContain('DE')
    const targets = [
      { item: '1', positions: [], quantity: 1 },
      { item: '9', positions: ['DE'], quantity: 1 },
    ]
    expect(listed(rotor([], { targets }))).toEqual(expect.arrayContaining(['consider 10 DE+NDE x2', 'must 22 x1']))
  })
})

const takesAll = ruleParse({
  id: 'takes-all',
  words: 'Whatever comes off is renewed.',
  family: 'set',
  source: 'common practice, no source',
  strength: 'should',
  when: { what: 'disturbed' },
  then: { what: 'line-of-class', partClass: ['washer'], within: 'attached' },
})

describe('pieces over the ends of a shaft', () => {
  const ends = fc.constantFrom<ShaftEnd[][]>([], ['DE'], ['NDE'], BOTH)
  const washers = fc.array(fc.record({ quantity: fc.integer({ min: 1, max: 9 }), ends }), {
    minLength: 1,
    maxLength: 6,
  })
  const named = fc.constantFrom<ShaftEnd[][]>(['DE'], ['NDE'], BOTH)
  const sides = fc.constantFrom([], ['LH'], ['LH', 'RH'])

  test('none is lost and none counted twice, whichever ends are chosen and however many there are', () => {
    fc.assert(
      fc.property(washers, named, sides, (held, at, where) => {
        const lines = [
          both('9', 'bearing', 2),
          ...held.map(({ quantity, ends: own }, index) =>
            aLine(String(20 + index), 'washer', {
              quantity,
              attaches: '9',
              facts: own.length > 0 ? { ends: own } : {},
            }),
          ),
        ]
        const input = aJob({
          lines,
          positions: where.length > 0 ? TWO_WHEELS : [],
          rules: [takesAll],
          targets: [{ item: '9', positions: [...where, ...at], quantity: 2 }],
        })
        const found = new Map(companionSuggest(input).map((one) => [one.item, one]))
        for (const [index, { quantity, ends: own }] of held.entries()) {
          const here = own.length === 1 ? (at.includes(own[0]!) ? quantity : 0) : quantity
          // Half of what sits at both ends, rounded up, at one of them; never more than there are at both.
          const each = own.length === 2 && at.length === 1 ? Math.ceil(quantity / 2) : here
          const one = found.get(String(20 + index))
          expect(one?.quantity ?? 0).toBe(each * Math.max(1, where.length))
          if (each > 0) expect(one?.positions).toEqual([...where, ...(own.length === 2 ? at : [])])
        }
      }),
    )
  })

  test('one end and the other together are what both ends are, for every even number', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 20 }), (half) => {
        const pieces = (at: string[]) => {
          const lines = [both('9', 'bearing'), both('20', 'washer', 2 * half, { attaches: '9' })]
          const targets = [{ item: '9', positions: at, quantity: 1 }]
          const found = companionSuggest(aJob({ lines, rules: [takesAll], targets }))
          return found.find(({ item }) => item === '20')?.quantity ?? 0
        }
        expect(pieces(['DE']) + pieces(['NDE'])).toBe(pieces(BOTH))
        expect(pieces([])).toBe(pieces(BOTH))
      }),
    )
  })
})
