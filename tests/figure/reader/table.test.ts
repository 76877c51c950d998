import { describe, expect, it } from 'vitest'
import { pageInk } from '../../../lib/figure/reader/page-ink.ts'
import { pageRules } from '../../../lib/figure/reader/page-lines.ts'
import { piecesOfInk } from '../../../lib/figure/reader/page-pieces.ts'
import type { Recogniser } from '../../../lib/figure/reader/schema.ts'
import { tablesRead } from '../../../lib/figure/reader/table.ts'
import { headKind, headKinds, itemOf, kindsByContent, quantityOf } from '../../../lib/figure/reader/table-column.ts'
import { ruledCells } from '../../../lib/figure/reader/table-grid.ts'
import { printTidied } from '../../../lib/figure/reader/table-print.ts'
import { itemsCounted, linesJoined, rowOf } from '../../../lib/figure/reader/table-row.ts'
import { barReader, DrawnPage, neverAsked } from './printed-page.ts'

async function listsOf(page: DrawnPage, recognise: Recogniser, own = true) {
  const rules = pageRules(page)
  const cells = ruledCells(rules, 4)
  const runs = own ? page.runs : []
  const tables = await tablesRead({ page, runs, ink: pageInk(page), rules, cells, tolerance: 4 }, recognise)
  return tables.map((table) =>
    table.rows.map((row) => [row.item, row.partNumber, row.description, row.quantity, row.quantityNote].join('|')),
  )
}

const WALLS = [100, 160, 320, 620, 690]
const HEADS = ['Item', 'Part No.', 'Description', 'Qty']
const LIST = [
  ['1', 'QB-4410', 'Hub, braked', '1'],
  ['2', 'QB-4412', 'Bearing, inner', '2'],
  ['3', 'QB-0932', 'Split pin', 'AR'],
]
const SAID = ['1|QB-4410|Hub, braked|1|', '2|QB-4412|Bearing, inner|2|', '3|QB-0932|Split pin||AR']

/** A ruled list whose rows stand in the given order from the top. */
function ruled(rows: readonly (readonly string[])[], walls = WALLS): DrawnPage {
  const page = new DrawnPage(900, 600)
  page.grid(walls, [100, ...rows.map((_, at) => 140 + 40 * at)])
  for (const [n, row] of rows.entries())
    for (const [at, words] of row.entries()) if (words !== '') page.text(walls[at]! + 8, 112 + 40 * n, words)
  return page
}

describe('a ruled parts list', () => {
  it('is read with its heads on top, at the bottom (it reads upwards) and in another order of columns', async () => {
    expect(await listsOf(ruled([HEADS, ...LIST]), neverAsked)).toEqual([SAID])
    const upwards = await listsOf(ruled([...[...LIST].reverse(), HEADS]), neverAsked)
    expect(upwards).toEqual([[...SAID].reverse()])
    const order = [3, 0, 2, 1]
    const turned = [HEADS, ...LIST].map((row) => order.map((at) => row[at]!))
    expect(await listsOf(ruled(turned, [100, 170, 230, 530, 690]), neverAsked)).toEqual([SAID])
  })

  it('without heads is told by what stands in its columns', async () => {
    const more = ['4', 'QB-1177', 'Seal, lip', '2']
    expect(await listsOf(ruled([...LIST, more]), neverAsked)).toEqual([[...SAID, '4|QB-1177|Seal, lip|2|']])
  })

  it('joins the lines of a wrapped cell, and leaves a column out that is no part of it', async () => {
    const page = ruled([
      ['Pos.', 'Material', 'Designation', 'Quantity'],
      ['1', 'Steel', '', '4'],
      ['2', 'Brass', 'Bush', '1'],
    ])
    page.text(328, 146, 'Cylinder screw', 12).text(328, 163, 'M10 x 30', 12)
    expect(await listsOf(page, neverAsked)).toEqual([['1||Cylinder screw M10 x 30|4|', '2||Bush|1|']])
  })

  it('is no title block: cells of which no two rows are alike are no list', async () => {
    const page = new DrawnPage(900, 600)
    page.grid([500, 880], [400, 440, 500, 580])
    page.rect(620, 400, 622, 440).rect(700, 440, 702, 500).rect(560, 500, 562, 580).rect(800, 500, 802, 580)
    page.text(510, 412, 'Drawn').text(630, 412, 'Scale 1 to 5').text(510, 460, 'Hub').text(710, 460, 'Sheet 1')
    expect(await listsOf(page, neverAsked)).toEqual([])
  })

  it('of pixels only is read by the recogniser, each needed cell once, white on dark heads too', async () => {
    const heads = ['Item', 'Quantity', 'Description', 'Remarks']
    const rows = [
      ['1', '22', 'Hub, braked and long', 'Steel'],
      ['1', '22', 'Hub, braked and long', 'Steel'],
    ]
    const page = ruled([heads, ...rows], [100, 170, 290, 560, 690])
    for (let y = 104; y < 138; y++)
      for (let x = 102; x < 690; x++) {
        const at = y * page.width + x
        if (![170, 171, 290, 291, 560, 561].includes(x)) page.data[at] = page.data[at]! < 130 ? 250 : 60
      }
    const reader = barReader([...heads, ...rows[0]!])
    const [list] = await listsOf(page, reader, false)
    expect(list).toEqual(['1||Hub, braked and long|22|', '1||Hub, braked and long|22|'])
    // Heads and last row (4 each) are looked at; of the other row the material is left out. A quantity of two signs
    // may be a word and is read a second time.
    expect(reader.crops).toBeLessThanOrEqual(12)
  })
})

describe('a list without rules', () => {
  it('is read by the white between its columns, two side by side as well', async () => {
    const page = new DrawnPage(1200, 700)
    for (const [list, left] of [
      [['1', '2', '3'], 60],
      [['4', '5', '6'], 640],
    ] as const)
      for (const [n, item] of list.entries())
        page.text(left, 100 + 40 * n, item).text(left + 60, 100 + 40 * n, `Part name ${'abc'[n]}`)
    expect(await listsOf(page, neverAsked)).toEqual([
      ['1||Part name a||', '2||Part name b||', '3||Part name c||'],
      ['4||Part name a||', '5||Part name b||', '6||Part name c||'],
    ])
  })

  it('has its quantities at the far edge of the page when they stand below each other, and none in the drawing beside it', async () => {
    const rows = [
      ['1', 'QB-4410', 'Hub, braked', '4'],
      ['2', 'QB-4412', 'Bearing', '12'],
      ['3', 'QB-0932', 'Split pin', '2'],
      ['4', 'QB-1177', 'Seal, lip', '4'],
    ]
    const far = new DrawnPage(1600, 500)
    for (const [n, row] of rows.entries())
      for (const [at, words] of row.entries()) far.text([60, 140, 270, 1400][at]!, 100 + 40 * n, words)
    expect(await listsOf(far, neverAsked)).toEqual([
      ['1|QB-4410|Hub, braked|4|', '2|QB-4412|Bearing|12|', '3|QB-0932|Split pin|2|', '4|QB-1177|Seal, lip|4|'],
    ])
    const beside = new DrawnPage(1600, 500)
    for (const [n, row] of rows.entries()) {
      for (const [at, words] of row.slice(0, 3).entries()) beside.text([60, 140, 270][at]!, 100 + 40 * n, words)
      beside.text([1000, 1090, 1030, 1120][n]!, 100 + 40 * n, ['36 H7', '12 x 45', '184', '8 x 50'][n]!)
    }
    expect(await listsOf(beside, neverAsked)).toEqual([
      ['1|QB-4410|Hub, braked||', '2|QB-4412|Bearing||', '3|QB-0932|Split pin||', '4|QB-1177|Seal, lip||'],
    ])
  })

  it('takes a line without item as the rest of the row above', async () => {
    const page = new DrawnPage(900, 500)
    for (const [n, item] of ['10', '11', '12A'].entries())
      page.text(60, 100 + 60 * n, item).text(140, 100 + 60 * n, 'Washer')
    page.text(140, 184, 'with lip')
    expect(await listsOf(page, neverAsked)).toEqual([['10||Washer||', '11||Washer with lip||', '12A||Washer||']])
  })

  it('is read under heads that stand too close to be told apart by white', async () => {
    const page = new DrawnPage(1000, 500)
    page.text(60, 60, 'REF.').text(140, 60, 'PART NUMBER DESCRIPTION').text(480, 60, 'QTY')
    const rows = [
      ['1', '13.260.9', 'Shim, right', '3'],
      ['2', '40.372.5', 'Side plate', '1'],
      ['3', '88.192.3', 'Cover', '2'],
    ]
    for (const [n, row] of rows.entries())
      for (const [at, words] of row.entries()) page.text([60, 140, 270, 480][at]!, 100 + 40 * n, words)
    expect(await listsOf(page, neverAsked)).toEqual([
      ['1|13.260.9|Shim, right|3|', '2|40.372.5|Side plate|1|', '3|88.192.3|Cover|2|'],
    ])
  })

  it('is one list though its quantities rise too, and though its heads stand over a title', async () => {
    const page = new DrawnPage(1000, 500)
    page.text(60, 180, 'No.').text(120, 180, 'Qty').text(200, 180, 'Description').text(420, 180, 'Part No.')
    page.text(120, 210, 'DRAWN').text(200, 210, 'TITLE')
    const rows = [
      ['3', '4', 'Cover', '88.192.3'],
      ['2', '2', 'Side plate', '40.372.5'],
      ['1', '1', 'Shim, right', '13.260.9'],
    ]
    for (const [n, row] of rows.entries())
      for (const [at, words] of row.entries()) page.text([60, 120, 200, 420][at]!, 60 + 40 * n, words)
    expect(await listsOf(page, neverAsked)).toEqual([
      ['3|88.192.3|Cover|4|', '2|40.372.5|Side plate|2|', '1|13.260.9|Shim, right|1|'],
    ])
  })

  it('keeps the row of an item that could not be read apart from the row above', async () => {
    const page = new DrawnPage(900, 500)
    for (const [n, item] of ['1', '2', '?', '4'].entries())
      page.text(60, 100 + 60 * n, item).text(140, 100 + 60 * n, `Part name ${'abcd'[n]}`)
    expect(await listsOf(page, neverAsked)).toEqual([
      ['1||Part name a||', '2||Part name b||', '3||Part name c||', '4||Part name d||'],
    ])
  })

  it('of pixels only is read cell by cell, a name with wide white between its words in one go', async () => {
    const page = new DrawnPage(900, 500)
    // Items of one, two and three bars, so that the stand-in reader can tell them.
    for (const [n, item] of ['1', '12', '123'].entries()) page.text(60, 100 + 60 * n, item)
    page.text(240, 100, 'Gear wheel').text(356, 100, 'left')
    for (const n of [1, 2]) page.text(240, 100 + 60 * n, 'Crankshaftbearing')
    const reader = barReader(['1', '12', '123', 'Gear wheel left', 'Crankshaftbearing'])
    expect(await listsOf(page, reader, false)).toEqual([
      ['1||Gear wheel left||', '12||Crankshaftbearing||', '123||Crankshaftbearing||'],
    ])
    expect(reader.crops).toBe(6)
  })

  it('costs few readings: of words that stand below each other beside its items a sample is looked at', async () => {
    const page = new DrawnPage(1200, 900)
    for (let n = 0; n < 12; n++)
      page
        .text(60, 60 + 50 * n, '1001')
        .text(180, 60 + 50 * n, 'Hubs')
        .text(240, 60 + 50 * n, 'coveredbysteel')
    let [items, asked] = [1000, 0]
    const reader: Recogniser = async (_, crops) =>
      crops.map(({ box, kind }) => {
        if (kind === 'line') return { text: 'Hub', confidence: 0.9 }
        asked += 1
        return { text: box[0] < 100 ? String(++items) : 'HUBS', confidence: 0.9 }
      })
    const [rows] = await listsOf(page, reader, false)
    expect(rows).toHaveLength(12)
    expect(asked).toBe(12 + 5)
  })

  it('is found though a line of small print is as thin and straight as a rule', () => {
    const page = new DrawnPage(1200, 300)
    for (let sign = 0; sign < 20; sign++) page.rect(300 + 8 * sign, 100, 306 + 8 * sign, 106)
    page.rect(300, 200, 460, 206)
    const rules = pageRules(page)
    expect(rules.across.map(({ at }) => Math.round(at))).toEqual([103, 203])
    expect(piecesOfInk(pageInk(page), rules).map(({ box, marks }) => [...box, marks])).toEqual([
      [300, 100, 458, 106, 20],
    ])
  })

  it('is not seen in numbers that neither rise nor fall, such as dimensions', async () => {
    const page = new DrawnPage(900, 500)
    for (const [n, size] of ['149', '34', '135', '40', '121'].entries())
      page.text(60, 100 + 50 * n, size).text(140, 100 + 50 * n, 'Plate of steel')
    expect(await listsOf(page, neverAsked)).toEqual([])
  })
})

// Head words in UK and US use: common practice, no source.
describe('heads and cells', () => {
  it.each([
    ['ITEM NO.', 'item'],
    ['Pos.', 'item'],
    ['Ref', 'item'],
    ['BOM ID', 'item'],
    ['QTY.', 'quantity'],
    ["Q'ty", 'quantity'],
    ['No. Off', 'quantity'],
    ['Quantlty', 'quantity'],
    ['PART NUMBER', 'partNumber'],
    ['Article no.', 'partNumber'],
    ['Designation', 'description'],
    ['Nomenclature', 'description'],
    ['Remarks', 'other'],
    ['Hub, braked', null],
  ])('%s is a head of kind %s', (words, kind) => {
    expect(headKind(words)).toBe(kind)
  })

  it('"Part" is the number beside a name, and "No." the count beside an item', () => {
    expect(headKinds(['Item', 'Part', 'Description', 'No.'])).toEqual(['item', 'partNumber', 'description', 'quantity'])
    expect(headKinds(['No.', 'Part', 'Qty'])).toEqual(['item', 'description', 'quantity'])
  })

  it('items are digits with a letter, point or stroke, tidied of brackets and full stops, and nothing else', () => {
    expect(['7', '12A', '14.', '(3)', '1.4', 'E1', '3-2', 'l', 'O', 'Bolt', '', '2 Bolts M8'].map(itemOf)).toEqual([
      '7',
      '12A',
      '14',
      '3',
      '1.4',
      'E1',
      '3-2',
      '1',
      '',
      '',
      '',
      '',
    ])
  })

  it('quantities are numbers with or without a word; AR and REF are kept as a note', () => {
    const said = (text: string) => Object.values(quantityOf(text))
    expect([
      said('4'),
      said('2 off'),
      said('x2'),
      said('1.5 m'),
      said('AR'),
      said('Ref.'),
      said('-'),
      said(''),
    ]).toEqual([
      [4, ''],
      [2, ''],
      [2, ''],
      [1.5, 'm'],
      [null, 'AR'],
      [null, 'Ref.'],
      [null, ''],
      [null, ''],
    ])
  })

  it('columns without a head are told by rising items, repeating small numbers and the most letters', () => {
    expect(
      kindsByContent([
        ['2', '2', '1'],
        ['7', '6', '5'],
        ['Pin', 'Bolt long', 'Nut'],
        ['QB-1', 'QB-22', 'QB-3'],
      ]),
    ).toEqual(['quantity', 'item', 'description', 'partNumber'])
    expect(
      kindsByContent([
        ['a', 'b'],
        ['c', 'd'],
      ]),
    ).toEqual(['other', 'other'])
  })

  it('an item that could not be read between two neighbours is counted in and marked; a gap in the list is left alone', () => {
    const row = (item: string) =>
      rowOf(
        [
          { text: item, confidence: 1 },
          { text: 'Pin', confidence: 1 },
        ],
        ['item', 'description'],
        [0, 0, 1, 1],
      )!
    const counted = itemsCounted([row('1'), row(''), row('3'), row('5')])
    expect(counted.map((one) => [one.item, ...one.doubts])).toEqual([['1'], ['2', 'cell-unclear'], ['3'], ['5']])
  })

  it('slips of reading are put right only where the neighbours make them plain', () => {
    expect(
      ['DlN 912', 'washer M6-IS07089', 'ldler', 'c0ver', 'M3×10', '1l10.00', 'lever', 'M0', 'O-ring'].map(printTidied),
    ).toEqual(['DIN 912', 'washer M6-ISO7089', 'Idler', 'cover', 'M3x10', '1110.00', 'lever', 'M0', 'O-ring'])
    expect(linesJoined(['02_05_00-', 'cylinder', 'screw'])).toBe('02_05_00-cylinder screw')
  })
})
