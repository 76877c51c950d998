import { describe, expect, it } from 'vitest'
import { figureFileCheck } from '../../lib/figure/figure-file.ts'
import type { FigureFileInput } from '../../lib/figure/schema.ts'
import { isRefusal } from '../../lib/refusal.ts'

/** Hub of a trailer by an invented maker; every test changes what it is about. */
function hub(change: Partial<FigureFileInput> = {}): FigureFileInput {
  return {
    format: 'cotterbook-figure',
    version: 1,
    title: 'Hub and drum brake',
    number: '4-02',
    model: { maker: 'Thornley & Pike', name: 'TB6', kind: 'tipping trailer' },
    picture: { file: 'hub.svg', width: 1200, height: 800 },
    positions: [
      { code: 'LH', label: 'left wheel', pairedWith: 'RH' },
      { code: 'RH', label: 'right wheel', pairedWith: 'LH' },
    ],
    callouts: [
      { item: '1', x: 100, y: 120, tips: [{ x: 210, y: 230 }] },
      { item: '2', x: 310, y: 140, tips: [{ x: 330, y: 250 }] },
      { item: '12a', x: 520, y: 160, tips: [] },
    ],
    lines: [
      {
        item: '1',
        partNumber: 'TP-1001',
        description: 'Split pin',
        quantity: 1,
        attaches: '2',
        partClass: 'split-pin',
      },
      { item: '2', partNumber: 'TP-1002', description: 'Castle nut', quantity: 1, partClass: 'castle-nut' },
      { item: '12A', partNumber: 'TP-1012', description: 'Grease', quantity: 0.045, unit: 'kilogram' },
    ],
    stripOrder: [{ first: '2', then: '12a' }],
    tests: ['Wheel turns freely'],
    ...change,
  }
}

function line(change: object): FigureFileInput['lines'] {
  return [...hub().lines.slice(0, 2), { ...hub().lines[2]!, ...change }]
}

function faultsOf(json: unknown): readonly string[] {
  try {
    figureFileCheck(json, 'hub.json')
  } catch (error) {
    if (isRefusal(error) && error.code === 'import/refused') return error.faults
    throw error
  }
  return []
}

describe('a figure file', () => {
  it('that agrees with itself is read, items spelled as the list spells them', () => {
    const { file, warnings } = figureFileCheck(hub())
    expect(warnings).toEqual([])
    expect(file.callouts[2]!.item).toBe('12A')
    expect(file.stripOrder).toEqual([{ first: '2', then: '12A' }])
    expect(file.lines[0]).toMatchObject({ indenture: 1, unit: 'each', facts: {} })
  })

  it('names row, field and reason of every fault of its shape at once', () => {
    const faults = faultsOf({
      ...hub({ title: '' }),
      colour: 'red',
      lines: [
        { item: '1', description: 'Split pin', quantity: 0 },
        { item: '2 ', quantity: '3', description: 'Nut' },
        { item: '7', description: 'Hub', quantity: 2, unit: 'gallon', colour: 'red' },
      ],
      callouts: [{ item: '-', x: -4, y: 5, tips: [{ x: 1 }] }],
      positions: [{ code: 'LH' }],
    })
    expect(faults).toEqual([
      'title: is empty',
      'position 1 (LH), label: is missing',
      'callout 1 (item -), item: an item is what the drawing prints beside its leader line: 7 or 12A',
      'callout 1 (item -), x: too small, it must be at least 0',
      'callout 1 (item -), tips.0.y: is missing',
      'line 1 (item 1), quantity: too small, it must be above 0',
      'line 2 (item 2 ), quantity: must be a number, not "3"',
      'line 3 (item 7), unit: must be one of each, litre, kilogram, metre',
      'line 3 (item 7): has colour, which a figure file does not know',
      'the file: has colour, which a figure file does not know',
    ])
  })

  it.each([
    ['nothing', null],
    ['text', 'figure'],
    ['a list', []],
    ['an empty object', {}],
  ])('that is %s is refused', (_, json) => {
    expect(faultsOf(json).length).toBeGreaterThan(0)
  })

  const disagreements: [string, object, string][] = [
    [
      'a callout outside the picture',
      { callouts: [{ item: '1', x: 1201, y: 10, tips: [] }] },
      'callout 1 (item 1), x and y: 1201, 10 lies outside the picture of 1200 x 800',
    ],
    [
      'a leader line that ends outside the picture',
      {
        callouts: [
          {
            item: '1',
            x: 1200,
            y: 800,
            tips: [
              { x: 5, y: 6 },
              { x: 7, y: 801 },
            ],
          },
        ],
      },
      'callout 1 (item 1), tip 2: 7, 801 lies outside the picture of 1200 x 800',
    ],
    [
      'an attaching part of nothing',
      { lines: line({ attaches: '9' }) },
      'line 3 (item 12A), attaches: the list has no item 9',
    ],
    [
      'a part that holds itself',
      { lines: line({ attaches: '12a' }), stripOrder: [] },
      'line 3 (item 12A), attaches: an item cannot hold itself',
    ],
    [
      'half a pin',
      { lines: line({ unit: 'each', quantity: 1.5 }) },
      'line 3 (item 12A), quantity: 1.5 is no whole number of the smallest unit of a part kept by each',
    ],
    [
      'less than a gram of grease',
      { lines: line({ quantity: 0.0005 }) },
      'line 3 (item 12A), quantity: 0.0005 is no whole number of the smallest unit of a part kept by kilogram',
    ],
    [
      'a serial break that ends before it begins',
      { lines: line({ serialFrom: 'TB1500', serialTo: 'TB999' }) },
      'line 3 (item 12A), serialTo: TB999 lies before serialFrom TB1500',
    ],
    [
      'the same line twice',
      { lines: [...hub().lines, hub().lines[1]!] },
      'line 4 (item 2): repeats line 2 word for word',
    ],
    [
      'one part kept by two units',
      { lines: [...hub().lines, { item: '13', partNumber: 'TP 1012', description: 'Grease', quantity: 1 }] },
      'line 4 (item 13), unit: TP 1012 is kept by kilogram in line 3, here by each',
    ],
    [
      'a number of dashes',
      { lines: line({ partNumber: '--' }) },
      'line 3 (item 12A), partNumber: "--" has neither a letter nor a digit',
    ],
    [
      'a position twice',
      {
        positions: [
          { code: 'LH', label: 'left' },
          { code: 'lh', label: 'also left' },
        ],
      },
      'position 2 (lh), code: position 1 has it already',
    ],
    [
      'a pair with nobody',
      { positions: [{ code: 'LH', label: 'left', pairedWith: 'RH' }] },
      'position 1 (LH), pairedWith: there is no position RH',
    ],
    [
      'a pair with itself',
      { positions: [{ code: 'LH', label: 'left', pairedWith: 'LH' }] },
      'position 1 (LH), pairedWith: a position is not paired with itself',
    ],
    [
      'a strip step of an unknown item',
      { stripOrder: [{ first: '3', then: '1' }] },
      'strip order row 1, first: the list has no item 3',
    ],
    [
      'a strip order that runs in a circle',
      {
        stripOrder: [
          { first: '2', then: '12A' },
          { first: '12A', then: '2' },
        ],
      },
      'strip order: The strip order runs in a circle: 2 before 12A before 2.',
    ],
    [
      'a strip order against what an attaching part holds',
      { stripOrder: [{ first: '2', then: '1' }] },
      'strip order: The strip order runs in a circle: 1 before 2 before 1.',
    ],
  ]
  it.each(disagreements)('with %s is refused', (_, change, fault) => {
    expect(faultsOf(hub(change))).toEqual([fault])
  })

  it('lists faults of different kinds together', () => {
    expect(
      faultsOf(
        hub({
          lines: line({ attaches: '9', quantity: 0.0001 }),
          positions: [{ code: 'A', label: 'a', pairedWith: 'B' }],
        }),
      ),
    ).toHaveLength(3)
  })

  it('may have the last serial number equal the first', () => {
    expect(faultsOf(hub({ lines: line({ serialFrom: '1500', serialTo: '1500' }) }))).toEqual([])
  })

  it('may list one item twice with a serial break between', () => {
    const seal = { item: '3', description: 'Seal', quantity: 1 }
    const lines = [...hub().lines, { ...seal, serialTo: '1499' }, { ...seal, serialFrom: '1500' }]
    expect(faultsOf(hub({ lines }))).toEqual([])
  })

  it('names each end of a shaft once, and none for what stands round the rotor', () => {
    const bearing = { item: '3', description: 'Ball bearing', quantity: 2, facts: { ends: ['DE', 'NDE'] } }
    const withLine = (change: object) => ({ ...hub(), lines: [...hub().lines, { ...bearing, ...change }] })
    expect(faultsOf(withLine({}))).toEqual([])
    expect(faultsOf(withLine({ facts: { ends: ['DE', 'DE'] } }))).toEqual([
      'line 4 (item 3), facts.ends: names one end twice',
    ])
    expect(faultsOf(withLine({ facts: { ends: ['DE'], stations: 24 } }))[0]).toMatch(/has stations too/)
    expect(faultsOf(withLine({ facts: { ends: ['PTO'] } }))[0]).toMatch(/ends/)
    expect(figureFileCheck(withLine({ quantity: 3 }), 'hub.json').warnings[0]).toMatch(/3 over two ends/)
  })

  it('tells item 1.1 from item 11', () => {
    const lines = [
      ...hub().lines,
      { item: '1.1', description: 'Spring', quantity: 1 },
      { item: '11', description: 'Clip', quantity: 1 },
    ]
    const { file } = figureFileCheck(hub({ lines, callouts: [{ item: '11', x: 1, y: 2, tips: [] }] }))
    expect(file.callouts[0]!.item).toBe('11')
  })

  it('warns of lines without a callout and leaves out callouts without a line', () => {
    const { file, warnings } = figureFileCheck(
      hub({
        callouts: [
          { item: '1', x: 3, y: 4, tips: [] },
          { item: '77', x: 5, y: 6, tips: [] },
        ],
      }),
    )
    expect(file.callouts.map((callout) => callout.item)).toEqual(['1'])
    expect(file.lines).toHaveLength(3)
    expect(warnings).toEqual([
      'callout 77: the list has no such item; the callout is left out',
      'item 2: no callout points to it; it is in the list only',
      'item 12A: no callout points to it; it is in the list only',
    ])
  })
})
