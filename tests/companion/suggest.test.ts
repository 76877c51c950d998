import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { PART_CLASSES } from '../../lib/catalogue/part-class.ts'
import { FAMILIES, STRENGTHS } from '../../lib/companion/rule-terms.ts'
import { RULES } from '../../lib/companion/rules/index.ts'
import { type CompanionInput, companionSuggest, type FigureLine } from '../../lib/companion/suggest.ts'
import { acts, aJob, aLine, aPart, consumables, parts, TWO_WHEELS } from './builders.ts'

const axle = (more: Partial<Parameters<typeof aJob>[0]> = {}) =>
  aJob({
    positions: TWO_WHEELS,
    lines: [
      aLine('2', 'split-pin', { attaches: '3' }),
      aLine('3', 'castle-nut', { facts: { thread: 'M20', safetyJoint: 'brake' } }),
      aLine('5', 'brake-drum'),
      aLine('7', 'brake-shoe', { quantity: 2 }),
      aLine('8', 'return-spring', { quantity: 3, attaches: '7' }),
    ],
    edges: [
      { first: '3', then: '5' },
      { first: '5', then: '7' },
    ],
    targets: [{ item: '7', positions: ['LH'], quantity: 2 }],
    ...more,
  })
const byKey = (input: CompanionInput) => new Map(companionSuggest(input).map((s) => [s.key, s]))

describe('pairs on an axle', () => {
  test('one shoe chosen: the second of that wheel and both of the other', () => {
    expect(parts(companionSuggest(axle({ targets: [{ item: '7', positions: ['LH'], quantity: 1 }] })))).toEqual(
      expect.arrayContaining(['must 7 LH x1', 'must 7 RH x2']),
    )
  })

  test('with both wheels chosen nothing of the other side is left to suggest', () => {
    const found = companionSuggest(axle({ targets: [{ item: '7', positions: ['LH', 'RH'], quantity: 4 }] }))
    expect(found.filter((s) => s.key.endsWith('+other'))).toEqual([])
    expect(parts(found)).toEqual(expect.arrayContaining(['must 2 LH+RH x2', 'should 8 LH+RH x6']))
  })

  test('the pair is known from either end', () => {
    expect(parts(companionSuggest(axle({ targets: [{ item: '7', positions: ['RH'], quantity: 2 }] })))).toContain(
      'must 7 LH x2',
    )
  })

  test('what the other side uses up says that it is only for when that side is done too', () => {
    const pin = byKey(axle()).get('part:2:202+other')
    expect(pin?.positions).toEqual(['RH'])
    expect(pin?.reasons[0]?.found.when).toBe('when RH is done too')
  })

  test('parts of the other side are no stronger than what leads there, until the mechanic says yes', () => {
    const drum = { targets: [{ item: '5', positions: ['LH'], quantity: 1 }] }
    const before = byKey(axle(drum)).get('part:2:202+other')
    const after = byKey(axle({ ...drum, alsoStripped: ['RH'] })).get('part:2:202+other')
    expect([before?.strength, after?.strength]).toEqual(['should', 'must'])
    expect(byKey(axle(drum)).get('part:2:202')?.strength).toBe('must')
  })

  test('a part made for one hand is paired with the one made for the other, never with itself', () => {
    const handed = (lines: FigureLine[]) =>
      parts(
        companionSuggest(
          aJob({ positions: TWO_WHEELS, lines, targets: [{ item: '4', positions: ['LH'], quantity: 1 }] }),
        ),
      )
    const left = aLine('4', 'brake-cable', { side: 'LH' })
    expect(handed([left, aLine('4', 'brake-cable', { side: 'RH', lineId: 99, partId: 77 })])).toEqual([
      'consider 4 RH x1',
    ])
    expect(handed([left])).toEqual(['consider 4 RH x1'])
    const wanted = companionSuggest(
      aJob({ positions: TWO_WHEELS, lines: [left], targets: [{ item: '4', positions: ['LH'], quantity: 1 }] }),
    )
    expect(wanted.find((s) => s.kind === 'part')).toMatchObject({ partId: null, wanted: 'brake-cable for RH' })
  })

  test('two targets on different wheels: each part is asked for where it comes off', () => {
    const found = companionSuggest(
      axle({
        rules: RULES.filter((rule) => rule.id === 'split-pin' || rule.id === 'cap'),
        targets: [
          { item: '7', positions: ['LH'], quantity: 2 },
          { item: '5', positions: ['RH'], quantity: 1 },
        ],
      }),
    )
    expect(parts(found)).toEqual(['must 2 LH+RH x2'])
  })
})

describe('what comes off', () => {
  test('a bare list of items counts for every wheel; steps count for the wheel they are in the way of', () => {
    const job = axle({
      rules: RULES.filter((rule) => rule.id === 'split-pin'),
      targets: [
        { item: '7', positions: ['LH'], quantity: 2 },
        { item: '11', positions: ['RH'], quantity: 1 },
      ],
      lines: [...axle().lines, aLine('11', 'lever')],
    })
    expect(parts(companionSuggest(job))).toEqual(['must 2 LH x1'])
    const bare = job.strip.map((step) => (typeof step === 'string' ? step : step.item))
    expect(parts(companionSuggest({ ...job, strip: bare }))).toEqual(['must 2 LH+RH x2'])
  })
})

describe('rotors', () => {
  const rotor = (stations: number, quantity: number, at: string[]) =>
    aJob({
      lines: [
        aLine('5', 'flail-knife', { quantity, facts: { stations, safetyJoint: 'cutting' } }),
        aLine('6', 'knife-bolt', { quantity, attaches: '5' }),
        aLine('8', 'v-belt', { quantity: 3 }),
      ],
      edges: [{ first: '8', then: '5' }],
      targets: [{ item: '5', positions: at, quantity: at.length }],
    })

  test('the opposite of 7 of 24 is 19 and of 19 is 7; both chosen leave nothing open', () => {
    expect(parts(companionSuggest(rotor(24, 24, ['7'])))).toContain('must 5 19 x1')
    expect(parts(companionSuggest(rotor(24, 24, ['19'])))).toContain('must 5 7 x1')
    expect(parts(companionSuggest(rotor(24, 24, ['7', '19'])))).toEqual(['must 6 7+19 x2'])
  })

  test('with two knives a station both are renewed', () => {
    expect(parts(companionSuggest(rotor(12, 24, ['2'])))).toEqual(
      expect.arrayContaining(['must 5 8 x2', 'must 6 2 x2', 'must 6 8 x2']),
    )
  })

  test('on a rotor with an odd number none is opposite: all others are renewed', () => {
    expect(parts(companionSuggest(rotor(3, 3, ['1'])))).toContain('must 5 2+3 x2')
  })

  test('a number that is no station of the rotor leads nowhere', () => {
    expect(parts(companionSuggest(rotor(24, 24, ['25']))).some((line) => line.startsWith('must 5 '))).toBe(false)
  })
})

describe('split pins', () => {
  const nut = (
    more: Partial<FigureLine>,
    shelf = [aPart(70, 'split-pin', { partFacts: { splitPinMm: 4, lengthMm: 36 } })],
    others: FigureLine[] = [],
  ) =>
    companionSuggest(
      aJob({
        lines: [aLine('3', 'castle-nut', more), ...others],
        targets: [{ item: '3', positions: [], quantity: 1 }],
        shelf,
      }),
    ).filter((s) => /^split-pin|^part:4/.test(s.key))

  // DIN 935-1: M20 takes 4 x 36, M18 takes 4 x 32, M16 takes 4 x 28; ISO 1234: over 14 up to 20 is a 4, over 20 a 5.
  test('M20 takes the 4 x 36 on the shelf; so does M18, as a long leg is cut; M22 must ask for 5 x 36', () => {
    expect(nut({ facts: { thread: 'M20' } })[0]).toMatchObject({ partId: 70, quantity: 1, strength: 'must' })
    expect(nut({ facts: { thread: 'M18' } })[0]).toMatchObject({ partId: 70 })
    expect(nut({ facts: { thread: 'M22' } })[0]).toMatchObject({ partId: null, wanted: 'split pin 5 x 36, ISO 1234' })
  })

  test('a pin too short to be bent is not offered, and the shortest long enough is', () => {
    const lengths = (...all: number[]) =>
      all.map((lengthMm) => aPart(lengthMm, 'split-pin', { partFacts: { splitPinMm: 4, lengthMm } }))
    expect(nut({ facts: { thread: 'M20' } }, lengths(32))[0]).toMatchObject({
      partId: null,
      wanted: 'split pin 4 x 36, ISO 1234',
    })
    expect(nut({ facts: { thread: 'M20' } }, lengths(56, 40, 32))[0]?.partId).toBe(40)
  })

  test('a nut nobody measured asks to be measured', () => {
    expect(nut({})[0]).toMatchObject({ partId: null, wanted: 'split pin to suit: measure the hole, ISO 1234' })
  })

  test('the pin that the list names for the joint is taken; one of another joint is not', () => {
    const pin = aLine('4', 'split-pin', { attaches: '3', partFacts: { splitPinMm: 4, lengthMm: 36 } })
    expect(nut({ facts: { thread: 'M20' } }, [], [pin]).map((s) => s.key)).toEqual(['part:4:204'])
    const elsewhere = { ...pin, attaches: '11' }
    expect(nut({ facts: { thread: 'M20' } }, [], [elsewhere, aLine('11', 'clevis-pin')]).map((s) => s.key)).toEqual([
      'split-pin:3',
    ])
  })

  test('nut and drilled bolt of one joint ask for one pin, sized by the hole', () => {
    const found = nut(
      { facts: { thread: 'M16' }, attaches: '6' },
      [],
      [aLine('6', 'bolt', { facts: { splitPinHoleMm: 3.3 } })],
    )
    expect(found.map((s) => `${s.key} ${s.wanted} x${s.quantity}`)).toEqual([
      'split-pin:6 split pin 3.2 x 28, ISO 1234 x1',
    ])
  })
})

describe('torque and treatment', () => {
  const stud = (facts: FigureLine['facts']) =>
    acts(
      companionSuggest(
        aJob({ lines: [aLine('4', 'stud', { facts })], targets: [{ item: '4', positions: [], quantity: 1 }] }),
      ),
    ).join('\n')

  test('120 N m dry becomes about 72 with anti-seize on hot threads, and the figure of the maker is asked for', () => {
    const said = stud({ torqueNm: 120, torqueState: 'dry', joint: ['hot-threads'] })
    expect(said).toMatch(
      /must: Item 4: 120 N m is for dry threads\. With anti-seize about 72 N m \(53 to 107, as friction varies\); use the figure of the maker/,
    )
  })

  test('one torque is said for a joint: the plain one is silent where treated or dry threads have their own', () => {
    const lines = (facts: FigureLine['facts']) => stud(facts).match(/Item 4: \d+ N m/g)
    expect(lines({ torqueNm: 120, torqueState: 'dry', joint: ['hot-threads'] })).toEqual(['Item 4: 120 N m'])
    expect(lines({ torqueNm: 95, torqueState: 'dry', joint: ['gasket-face'] })).toEqual(['Item 4: 95 N m'])
  })

  test('a locking nut on a brake is new every time, elsewhere when it runs on by hand', () => {
    const nut = (facts: FigureLine['facts']) =>
      companionSuggest(
        aJob({
          lines: [aLine('4', 'prevailing-torque-nut', { attaches: '9', facts }), aLine('9', 'bolt')],
          targets: [{ item: '9', positions: [], quantity: 1 }],
        }),
      )
        .filter((s) => s.item === '4')
        .map((s) => `${s.strength} ${s.reasons.map((reason) => reason.ruleId).join('+')}`)
    expect(nut({ safetyJoint: 'brake' })).toEqual(['must locking-nut-safety'])
    expect(nut({})).toEqual(['should locking-nut'])
  })

  test('a torque that is stated for anti-seize is left as it is', () => {
    expect(stud({ torqueNm: 120, torqueState: 'anti-seize', joint: ['hot-threads'] })).not.toMatch(/about/)
  })

  test('grease for two bearings adds up and is rounded up once; two rules for the same bearing do not add up', () => {
    const bearing = (item: string) =>
      aLine(item, 'bearing', {
        quantity: 2,
        partFacts: { boreMm: 30, outsideMm: 62, widthMm: 16 },
        facts: { joint: ['bearing-fill'] },
      })
    const grease = RULES.filter((rule) => rule.id === 'bearing-grease')
    const job = (rules: CompanionInput['rules']) =>
      consumables(
        companionSuggest(
          aJob({
            rules,
            lines: [bearing('3'), bearing('5')],
            targets: ['3', '5'].map((item) => ({ item, positions: [], quantity: 2 })),
          }),
        ),
      )
    // Four 6206: ring pi/4 x 16 x (62^2 - 30^2) = 36.99 cm3, packed 0.57 g/cm3 of it = 21.07 g; 84.3 g for four.
    expect(job(grease)).toEqual(['should grease 85 kilogram'])
    expect(job([...grease, { ...grease[0]!, id: 'bearing-grease-again' }])).toEqual(['should grease 85 kilogram'])
  })

  test('half a can a wheel is one can for both and two for three wheels; by the litre it is a quarter each', () => {
    const wheels = ['LH', 'RH', 'MID'].map((code) => ({ code, label: code }))
    const cleaner = (at: string[], shelf: Parameters<typeof aJob>[0]['shelf']) =>
      consumables(
        companionSuggest(
          aJob({
            positions: wheels,
            shelf: shelf!,
            lines: [aLine('5', 'brake-disc')],
            targets: [{ item: '5', positions: at, quantity: at.length }],
          }),
        ),
      )
    const can = [aPart(3, 'brake-cleaner')]
    expect(cleaner(['LH'], can)).toContain('should brake-cleaner 1 each')
    expect(cleaner(['LH', 'RH'], can)).toContain('should brake-cleaner 1 each')
    expect(cleaner(['LH', 'RH', 'MID'], can)).toContain('should brake-cleaner 2 each')
    expect(cleaner(['LH', 'RH', 'MID'], [aPart(3, 'brake-cleaner', { unit: 'litre' })])).toContain(
      'should brake-cleaner 750 litre',
    )
  })

  test('a grade that is not on file is asked for in words', () => {
    const hot = (grade: string) =>
      companionSuggest(
        aJob({
          lines: [aLine('4', 'bolt', { facts: { joint: ['hot-threads'] } })],
          targets: [{ item: '4', positions: [], quantity: 1 }],
          shelf: [aPart(8, 'anti-seize', { unit: 'kilogram', partFacts: { grade } })],
        }),
      ).find((s) => s.key === 'consumable:anti-seize:nickel')
    expect(hot('Nickel, 1300 C')).toMatchObject({ partId: 8, quantity: 5, unit: 'kilogram' })
    expect(hot('copper')).toMatchObject({ partId: null, wanted: 'anti-seize, nickel' })
  })

  test('oil is never guessed from the shelf: without a line in the list it is asked for as the manual says', () => {
    const found = companionSuggest(
      aJob({
        lines: [aLine('2', 'plug', { facts: { fillLitres: 3 } })],
        targets: [{ item: '2', positions: [], quantity: 1 }],
        shelf: [aPart(9, 'engine-oil', { unit: 'litre' })],
      }),
    )
    expect(found.find((s) => s.key === 'consumable:fill')).toMatchObject({
      wanted: 'what the maker names for it: kind, grade and amount as the manual says',
      partId: null,
      quantity: 3000,
      unit: 'litre',
      strength: 'must',
    })
  })
})

/** Random small figures with everything rules look at. */
const anyLine = (item: string): fc.Arbitrary<FigureLine> =>
  fc
    .record({
      partClass: fc.constantFrom(...PART_CLASSES),
      quantity: fc.constantFrom(1, 2, 6, 24),
      attaches: fc.option(fc.constantFrom('20', '21', '22'), { nil: undefined }),
      side: fc.option(fc.constantFrom('LH' as const, 'RH' as const), { nil: undefined, freq: 6 }),
      facts: fc.record(
        {
          thread: fc.constantFrom('M6', 'M10', 'M20x1.5', 'M11'),
          torqueNm: fc.constantFrom(25, 120),
          torqueState: fc.constantFrom('dry', 'oiled', 'anti-seize', 'thread-lock'),
          splitPinHoleMm: fc.constantFrom(0.3, 3.3, 5),
          clevisPinMm: fc.constant(12),
          joint: fc
            .subarray(['shaft-fit', 'hot-threads', 'threads-that-shake', 'gasket-face', 'brake-contact'] as const, {
              maxLength: 4,
            })
            .map((j) => [...j]),
          safetyJoint: fc.constantFrom('brake', 'steering', 'cutting', 'pto'),
          fillLitres: fc.constant(1.5),
          massKg: fc.constantFrom(25, 26),
        },
        { requiredKeys: [] },
      ),
      partFacts: fc.record(
        { outsideMm: fc.constant(62), widthMm: fc.constant(16), splitPinMm: fc.constantFrom(3.2, 5) },
        { requiredKeys: [] },
      ),
    })
    .map(({ attaches, side, ...line }) =>
      aLine(item, line.partClass, { ...line, ...(attaches ? { attaches } : {}), ...(side ? { side } : {}) }),
    )

const anyJob = fc
  .record({
    lines: fc.tuple(...['3', '5', '7', '9', '11', '12A', '20', '21', '22'].map(anyLine)),
    targets: fc.uniqueArray(
      fc.record({
        item: fc.constantFrom('3', '7', '22'),
        positions: fc.subarray(['LH', 'RH']),
        quantity: fc.constantFrom(1, 2, 24),
      }),
      {
        selector: (target) => target.item,
        minLength: 1,
      },
    ),
    edges: fc.subarray([
      { first: '3', then: '5' },
      { first: '5', then: '7' },
      { first: '9', then: '11' },
      { first: '12A', then: '20' },
      { first: '11', then: '22' },
    ]),
    also: fc.subarray(['LH', 'RH']),
  })
  .map(({ lines, also, ...job }) =>
    // Lines 20 to 22 hold nothing, so that attaching parts never close a circle.
    aJob({
      ...job,
      alsoStripped: also,
      positions: TWO_WHEELS,
      shelf: [
        aPart(1, 'grease', { unit: 'kilogram' }),
        aPart(2, 'gloves'),
        aPart(3, 'gloves'),
        aPart(4, 'split-pin', { partFacts: { splitPinMm: 3.2, lengthMm: 40 } }),
      ],
      lines: lines.map(({ attaches, ...line }) =>
        attaches && !line.item.startsWith('2') ? { ...line, attaches } : line,
      ),
    }),
  )

describe('laws', () => {
  test('the order of rules, lines, targets, strip steps and shelf never changes the result', () => {
    fc.assert(
      fc.property(anyJob, fc.infiniteStream(fc.nat()), (job, dice) => {
        const shuffled = <T>(values: readonly T[]): T[] =>
          values
            .map((v) => [dice.next().value as number, v] as const)
            .sort((a, b) => a[0] - b[0])
            .map(([, v]) => v)
        const again: CompanionInput = {
          ...job,
          rules: shuffled(job.rules),
          lines: shuffled(job.lines),
          targets: shuffled(job.targets),
          strip: shuffled(job.strip),
          shelf: shuffled(job.shelf),
        }
        expect(companionSuggest(again)).toEqual(companionSuggest(job))
      }),
      { seed: 71, numRuns: 150 },
    )
  })

  test('keys are unique; parts have a quantity in whole minor units, acts have none; every suggestion has a reason with its source', () => {
    fc.assert(
      fc.property(anyJob, (job) => {
        const found = companionSuggest(job)
        expect(new Set(found.map((s) => s.key)).size).toBe(found.length)
        for (const s of found) {
          expect(s.reasons.length).toBeGreaterThan(0)
          expect(s.reasons[0]!.strength).toBe(s.strength)
          if (s.kind === 'act') expect(s.quantity).toBe(0)
          else expect(Number.isInteger(s.quantity) && s.quantity > 0, s.key).toBe(true)
          expect(s.partId === null).toBe(s.kind === 'act' || s.wanted !== undefined)
          for (const reason of s.reasons) {
            expect(reason.source.length).toBeGreaterThan(4)
            expect(reason.words).not.toMatch(/[{}]|undefined|NaN/)
          }
        }
      }),
      { seed: 72, numRuns: 150 },
    )
  })

  test('must stands before should before consider, then family by family', () => {
    fc.assert(
      fc.property(anyJob, (job) => {
        const rank = companionSuggest(job).map((s) => STRENGTHS.indexOf(s.strength) * 100 + FAMILIES.indexOf(s.family))
        expect(rank).toEqual([...rank].sort((a, b) => a - b))
      }),
      { seed: 73, numRuns: 60 },
    )
  })

  test('a target is never asked for again at its own position', () => {
    fc.assert(
      fc.property(anyJob, (job) => {
        const found = companionSuggest(job)
        for (const target of job.targets) {
          for (const s of found) {
            if (
              s.kind !== 'part' ||
              s.item !== target.item ||
              s.reasons.some((reason) => reason.found['pieces in the set'])
            )
              continue
            expect(
              s.positions.filter((code) => target.positions.includes(code)),
              `${s.key}`,
            ).toEqual([])
          }
        }
      }),
      { seed: 74, numRuns: 100 },
    )
  })

  test('without targets nothing is needed, not even gloves', () => {
    expect(companionSuggest(aJob({ lines: [aLine('1', 'brake-shoe')], targets: [] }))).toEqual([])
  })
})
