import type { SKRSContext2D } from '@napi-rs/canvas'
import { expect, test } from 'vitest'
import { calloutsRead } from '../../../lib/figure/reader/callouts.ts'
import type { GreyPage, ReadCallout, Recogniser, TextRun } from '../../../lib/figure/reader/schema.ts'
import { dotDrawn, drawnPage, lineDrawn, ringDrawn } from './drawn-figure.ts'

const WIDTH = 1600
const HEIGHT = 1100

interface Printed {
  item: string
  x: number
  y: number
}

/** Reads what the test has printed there; anything else on the page reads as a 5, so that only its standing can keep it out. */
const reading =
  (printed: readonly Printed[], scale: number): Recogniser =>
  async (_page, crops) =>
    crops.map(({ box }) => {
      const [x, y] = [(box[0] + box[2]) / 2 / scale, (box[1] + box[3]) / 2 / scale]
      const found = printed.find((one) => Math.hypot(one.x - x, one.y - y) < 20)
      return { text: found?.item ?? '5', confidence: 0.9 }
    })

async function read(
  printed: readonly Printed[],
  page: GreyPage,
  more: { runs?: TextRun[]; items?: string[] } = {},
): Promise<ReadCallout[]> {
  const scale = 2200 / page.width
  const { callouts } = await calloutsRead(page, more.runs ?? [], [], reading(printed, scale), { items: more.items })
  return callouts.sort((a, b) => a.x - b.x)
}

const FIVE: Printed[] = [1, 2, 3, 4, 12].map((item, at) => ({ item: String(item), x: 150 + at * 280, y: 160 }))

/** Five numbers in a row, each with a straight leader line to a dot below it. */
function rowDrawn(pen: SKRSContext2D, ringed: boolean): void {
  pen.font = '30px "Liberation Sans", Arial, sans-serif'
  for (const { item, x, y } of FIVE) {
    pen.fillText(item, x, y)
    if (ringed) ringDrawn(pen, x, y, 34)
    lineDrawn(pen, [x + 4, y + 35], [x + 30, y + 300])
    dotDrawn(pen, x + 30, y + 300)
  }
}

const tipsBelow = (callouts: readonly ReadCallout[]) =>
  callouts.every(({ x, y, tipX, tipY }) => Math.hypot(tipX - x - 30, tipY - y - 300) < 12)

test('a number in a ring is a callout and its leader line ends at the dot', async () => {
  const callouts = await read(
    FIVE,
    drawnPage(WIDTH, HEIGHT, (pen) => rowDrawn(pen, true)),
  )
  expect(callouts.map(({ item }) => item)).toEqual(['1', '2', '3', '4', '12'])
  expect(tipsBelow(callouts)).toBe(true)
  for (const [at, { x, y }] of callouts.entries()) expect(Math.hypot(x - FIVE[at]!.x, y - FIVE[at]!.y)).toBeLessThan(6)
})

test('a bare number is a callout when a leader line begins beside it', async () => {
  const callouts = await read(
    FIVE,
    drawnPage(WIDTH, HEIGHT, (pen) => rowDrawn(pen, false)),
  )
  expect(callouts.map(({ item }) => item)).toEqual(['1', '2', '3', '4', '12'])
  expect(tipsBelow(callouts)).toBe(true)
})

test('numbers in the cells of a table, a frame and a dimension are no callouts', async () => {
  const page = drawnPage(WIDTH, HEIGHT, (pen) => {
    pen.font = '26px "Liberation Sans", Arial, sans-serif'
    for (let row = 0; row < 8; row++) {
      lineDrawn(pen, [900, 500 + row * 50], [1500, 500 + row * 50])
      pen.fillText(String(row + 1), 950, 525 + row * 50)
      pen.fillText('2', 1450, 525 + row * 50)
    }
    for (const x of [900, 1000, 1400, 1500]) lineDrawn(pen, [x, 500], [x, 850])
    lineDrawn(pen, [200, 700], [600, 700])
    lineDrawn(pen, [200, 680], [200, 720])
    lineDrawn(pen, [600, 680], [600, 720])
    pen.fillText('120', 400, 682)
    lineDrawn(pen, [20, 60], [1580, 60])
    for (let zone = 0; zone < 6; zone++) pen.fillText(String(zone + 1), 150 + zone * 260, 38)
  })
  expect(await read([], page)).toEqual([])
})

test('a ring that a poor copy has broken in places is still a ring', async () => {
  const page = drawnPage(WIDTH, HEIGHT, (pen) => {
    rowDrawn(pen, true)
    pen.fillStyle = '#fff'
    for (const { x, y } of FIVE) {
      pen.fillRect(x - 40, y - 14, 14, 20)
      pen.fillRect(x + 24, y - 4, 14, 16)
    }
  })
  const callouts = await read(FIVE, page)
  expect(callouts.map(({ item }) => item)).toEqual(['1', '2', '3', '4', '12'])
})

test('every leader line of one number is found, bent ones to their end', async () => {
  const page = drawnPage(WIDTH, HEIGHT, (pen) => {
    rowDrawn(pen, true)
    lineDrawn(pen, [150 - 34, 160], [60, 160], [60 - 20, 520])
    dotDrawn(pen, 40, 520)
  })
  const [first] = await read(FIVE, page)
  expect(first!.tips).toHaveLength(2)
  for (const [x, y] of [
    [180, 460],
    [40, 520],
  ])
    expect(Math.min(...first!.tips.map((tip) => Math.hypot(tip.x - x!, tip.y - y!)))).toBeLessThan(15)
})

test('a leader line runs on through the outlines it crosses', async () => {
  const page = drawnPage(WIDTH, HEIGHT, (pen) => {
    rowDrawn(pen, true)
    for (const y of [250, 300, 330]) lineDrawn(pen, [60, y], [1500, y + 24])
  })
  expect(tipsBelow(await read(FIVE, page))).toBe(true)
})

test('text that the page carries itself is taken as it stands', async () => {
  const runs: TextRun[] = [{ text: '12A', box: [150 + 4 * 280 - 16, 148, 150 + 4 * 280 + 16, 172] }]
  const callouts = await read(
    FIVE,
    drawnPage(WIDTH, HEIGHT, (pen) => rowDrawn(pen, true)),
    { runs },
  )
  expect(callouts.at(-1)).toMatchObject({ item: '12A', confidence: 1 })
})

test('what the parts list does not have, and what stands twice, is doubted and kept', async () => {
  const twice = FIVE.map((one) => (one.item === '4' ? { ...one, item: '3' } : one))
  const page = drawnPage(WIDTH, HEIGHT, (pen) => rowDrawn(pen, true))
  const callouts = await read(twice, page, { items: ['1', '2', '3'] })
  expect(callouts.map(({ doubts }) => doubts)).toEqual([[], [], ['more-than-once'], ['more-than-once'], ['no-row']])
})

test('a number that a blurred copy runs together with its leader line is found when the list has it', async () => {
  const page = drawnPage(WIDTH, HEIGHT, (pen) => {
    pen.font = '30px "Liberation Sans", Arial, sans-serif'
    for (const { item, x, y } of FIVE) {
      pen.fillText(item, x, y)
      lineDrawn(pen, [x + 4, y + 24], [x + 30, y + 300])
      dotDrawn(pen, x + 30, y + 300)
    }
    // Blur between a number and its line: darker than paper, far lighter than print.
    pen.strokeStyle = '#a8a8a8'
    pen.lineWidth = 4
    for (const { x, y } of FIVE.slice(0, 4)) lineDrawn(pen, [x + 2, y + 9], [x + 4, y + 26])
  })
  const items = FIVE.map(({ item }) => item)
  expect((await read(FIVE, page, { items })).map(({ item }) => item)).toEqual(items)
  expect(tipsBelow(await read(FIVE, page, { items }))).toBe(true)
})

test('a blank page and a page of running text have no callouts', async () => {
  expect(
    await read(
      [],
      drawnPage(800, 600, () => {}),
    ),
  ).toEqual([])
  const text = drawnPage(WIDTH, HEIGHT, (pen) => {
    pen.font = '24px "Liberation Serif", Times, serif'
    for (let line = 0; line < 20; line++)
      pen.fillText(`${line} turn the shaft 3 times by hand and listen`, 700, 60 + line * 44)
  })
  expect(await read([], text)).toEqual([])
})
