import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { RULES } from '../../lib/companion/rules/index.ts'
import { companionSuggest, type FigureLine } from '../../lib/companion/suggest.ts'
import { greaseFirstFillGrams } from '../../lib/fastener/grease.ts'
import { acts, aJob, aLine, aPart, consumables, parts, TWO_WHEELS } from './builders.ts'

/*
 * How much goes onto an order. Where no source is named: common practice, no source; figures worked out by hand.
 */

const SHELF = [aPart(904, 'grease', { unit: 'kilogram' })]

describe('an assembly is filled once, whatever number of its parts lets the fluid out', () => {
  const gearbox = (fluids: (FigureLine['facts']['fluid'] | undefined)[], litres: number[]) =>
    companionSuggest(
      aJob({
        lines: [
          aLine('1', 'plug', { facts: { fillLitres: litres[0]!, ...(fluids[0] ? { fluid: fluids[0] } : {}) } }),
          aLine('2', 'cover', { facts: { fillLitres: litres[1]!, ...(fluids[1] ? { fluid: fluids[1] } : {}) } }),
          aLine('3', 'oil-seal', { facts: { fillLitres: litres[2]!, ...(fluids[2] ? { fluid: fluids[2] } : {}) } }),
        ],
        edges: [
          { first: '1', then: '2' },
          { first: '2', then: '3' },
        ],
        targets: [{ item: '3', positions: [], quantity: 1 }],
      }),
    )
  const oils = (found: ReturnType<typeof gearbox>) =>
    consumables(found).filter((one) => /oil|coolant|fill/.test(one.replace('must', '')))

  test('plug, cover and seal of one gearbox: 1.4 l and not 4.2', () => {
    const found = gearbox(['gear-oil', 'gear-oil', 'gear-oil'], [1.4, 1.4, 1.4])
    expect(oils(found)).toEqual(['must gear-oil 1400 litre'])
  })

  test('the largest amount counts: the head lets out less than the drain', () => {
    expect(oils(gearbox(['gear-oil', 'gear-oil', 'gear-oil'], [0.4, 1.2, 0.9]))).toEqual(['must gear-oil 1200 litre'])
  })

  test('oil and coolant of one engine are two fills', () => {
    expect(oils(gearbox(['engine-oil', 'coolant', 'engine-oil'], [6, 4, 5])).sort()).toEqual([
      'must coolant 4000 litre',
      'must engine-oil 6000 litre',
    ])
  })

  test('where the list names no fluid none is named: coolant in a crankcase would be wrong', () => {
    const found = gearbox([undefined, undefined, undefined], [0.9, 0.9, 0.9])
    expect(found.find((one) => one.key === 'consumable:fill')).toMatchObject({ partId: null, quantity: 900 })
    expect(consumables(found).join(' ')).not.toMatch(/coolant|gear-oil|engine-oil|hydraulic-oil/)
  })

  test('fuel is not on the order', () => {
    expect(oils(gearbox(['fuel', 'fuel', 'fuel'], [0.4, 0.4, 0.4]))).toEqual([])
  })

  test('one tray for it, and for each fluid one', () => {
    const trays = (found: ReturnType<typeof gearbox>) => acts(found).filter((one) => /tray/.test(one))
    expect(trays(gearbox(['gear-oil', 'gear-oil', 'gear-oil'], [1.4, 1.4, 1.4]))).toEqual([
      'should: Item 1 lets out about 1.4 l: have a tray under it, used oil and fuel are collected.',
    ])
    expect(trays(gearbox(['engine-oil', 'coolant', 'engine-oil'], [6, 4, 5]))).toHaveLength(2)
  })

  test('hubs of both sides, each with its own oil, are two fills', () => {
    const hub = (positions: string[]) =>
      oils(
        companionSuggest(
          aJob({
            positions: TWO_WHEELS,
            lines: [aLine('1', 'cover', { facts: { fillLitres: 0.3, fluid: 'gear-oil' } })],
            targets: [{ item: '1', positions, quantity: positions.length }],
          }),
        ),
      )
    expect(hub(['LH'])).toEqual(['must gear-oil 300 litre'])
    expect(hub(['LH', 'RH'])).toEqual(['must gear-oil 600 litre'])
  })
})

describe('grease to pack a bearing anew', () => {
  // Free space pi/4 B (D^2 - d^2) less steel m / 7.85 g/cm3; masses of makers' catalogues, from memory: 0.20, 0.63, 0.23, 0.63 kg.
  test.each([
    ['6206', 30, 62, 16, 0.2],
    ['6308', 40, 90, 23, 0.63],
    ['30206', 30, 62, 17.25, 0.23],
    ['32210', 50, 90, 24.75, 0.62],
  ])('the free space of a %s is some three tenths of its ring', (_, bore, outside, width, mass) => {
    const ring = ((Math.PI / 4) * width * (outside ** 2 - bore ** 2)) / 1000
    const free = (ring - (mass * 1000) / 7.85) / ring
    expect(free).toBeGreaterThan(0.24)
    expect(free).toBeLessThan(0.36)
  })

  test('a trailer hub on 50 x 90 x 21.75 and 35 x 72 x 18.25 takes some 87 g: ring 95.7 and 56.7 cm3, 0.57 g/cm3 of it', () => {
    const grams = [
      greaseFirstFillGrams({ boreMm: 50, outsideMm: 90, widthMm: 21.75 }),
      greaseFirstFillGrams({ boreMm: 35, outsideMm: 72, widthMm: 18.25 }),
    ]
    expect(grams[0]).toBeCloseTo(54.5, 0)
    expect(grams[0]! + grams[1]!).toBeCloseTo(86.8, 0)
  })

  test('that is many times a relubrication, and a bearing without a bore on the list is not left out', () => {
    // 0.005 D B: 9.8 g.
    expect(greaseFirstFillGrams({ boreMm: 50, outsideMm: 90, widthMm: 21.75 })).toBeGreaterThan(4 * 0.005 * 90 * 21.75)
    const unknown = greaseFirstFillGrams({ outsideMm: 90, widthMm: 21.75 })
    expect(unknown).toBe(greaseFirstFillGrams({ boreMm: 45, outsideMm: 90, widthMm: 21.75 }))
  })

  test('the inner bearing behind a hub seal comes out with the seal and is packed too', () => {
    const bearing = (item: string, facts: FigureLine['facts']) =>
      aLine(item, 'bearing', {
        facts: { joint: ['bearing-fill'], ...facts },
        partFacts: { boreMm: 50, outsideMm: 90, widthMm: 21.75 },
      })
    const hub = (facts: FigureLine['facts']) =>
      consumables(
        companionSuggest(
          aJob({
            shelf: SHELF,
            lines: [bearing('1', {}), aLine('2', 'hub'), aLine('3', 'oil-seal'), bearing('4', facts)],
            edges: [
              { first: '1', then: '2' },
              { first: '2', then: '3' },
              { first: '3', then: '4' },
            ],
            targets: [{ item: '3', positions: [], quantity: 1 }],
          }),
        ),
      )
    // 54.5 g a bearing, as above, rounded up once.
    expect(hub({})).toContain('should grease 55 kilogram')
    expect(hub({ seals: ['3'] })).toContain('should grease 109 kilogram')
  })
})

describe('what is used up goes by how many are chosen', () => {
  const pipe = (chosen: number, rules = RULES) =>
    parts(
      companionSuggest(
        aJob({
          rules,
          lines: [
            aLine('16', 'o-ring', { quantity: 10 }),
            aLine('12', 'valve', { quantity: 10 }),
            aLine('11', 'other', { quantity: 1 }),
          ],
          edges: [
            { first: '16', then: '12' },
            { first: '12', then: '11' },
          ],
          targets: [{ item: '12', positions: [], quantity: chosen }],
        }),
      ),
    )

  test('three nozzle holders of ten: three O-rings; all ten: ten', () => {
    expect(pipe(3)).toContain('must 16 x3')
    expect(pipe(10)).toContain('must 16 x10')
  })

  test('whatever the number chosen, there is at least one and never more than the list has', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 10 }), (chosen) => {
        expect(pipe(chosen)).toContain(`must 16 x${chosen}`)
      }),
      { seed: 81, numRuns: 30 },
    )
  })

  test('one valve plate of four lies under one head of two: two O-rings of four, half of the bolts', () => {
    const found = companionSuggest(
      aJob({
        lines: [
          aLine('18', 'split-pin', { quantity: 8 }),
          aLine('17', 'cover', { quantity: 2 }),
          aLine('14', 'valve', { quantity: 4 }),
          aLine('12', 'o-ring', { quantity: 4, facts: { seals: ['17'] } }),
        ],
        edges: [
          { first: '18', then: '17' },
          { first: '17', then: '14' },
        ],
        targets: [{ item: '14', positions: [], quantity: 1 }],
      }),
    )
    expect(parts(found)).toEqual(expect.arrayContaining(['must 12 x2', 'must 18 x4']))
  })

  test('pins of a single cover all come out, though one of two parts behind it is renewed', () => {
    const found = companionSuggest(
      aJob({
        lines: [aLine('1', 'split-pin', { quantity: 6 }), aLine('2', 'cover'), aLine('3', 'gear', { quantity: 2 })],
        edges: [
          { first: '1', then: '2' },
          { first: '2', then: '3' },
        ],
        targets: [{ item: '3', positions: [], quantity: 1 }],
      }),
    )
    expect(parts(found)).toContain('must 1 x6')
  })

  test('where the rest of the set is asked for, what goes with it is asked for whole', () => {
    const job = (rules = RULES) =>
      parts(
        companionSuggest(
          aJob({
            rules,
            lines: [aLine('1', 'split-pin', { quantity: 2 }), aLine('2', 'diaphragm', { quantity: 2 })],
            edges: [{ first: '1', then: '2' }],
            targets: [{ item: '2', positions: [], quantity: 1 }],
          }),
        ),
      )
    expect(job()).toContain('must 1 x2')
    expect(job(RULES.filter(({ id }) => id !== 'diaphragm-set'))).toContain('must 1 x1')
  })

  test('one washer under each of two plugs: one for the plug that comes out, two for both', () => {
    const plugs = (...items: string[]) =>
      parts(
        companionSuggest(
          aJob({
            lines: [aLine('17', 'plug'), aLine('18', 'crush-washer', { quantity: 2 }), aLine('19', 'plug')],
            edges: [
              { first: '17', then: '18' },
              { first: '19', then: '18' },
            ],
            targets: items.map((item) => ({ item, positions: [], quantity: 1 })),
          }),
        ),
      )
    expect(plugs('17')).toEqual(['must 18 x1'])
    expect(plugs('17', '19')).toEqual(['must 18 x2'])
  })

  test('four guard screws of six that were shaken out: four washers, and the guard is to be fast', () => {
    const found = companionSuggest(
      aJob({
        lines: [
          aLine('17', 'guard'),
          aLine('18', 'screw', { quantity: 6, attaches: '17' }),
          aLine('19', 'washer', { quantity: 6, attaches: '17' }),
        ],
        targets: [{ item: '18', positions: [], quantity: 4 }],
      }),
    )
    expect(parts(found)).toEqual(['should 19 x4'])
    expect(acts(found).join('\n')).toMatch(/must: Guard fast with every screw/)
  })
})
