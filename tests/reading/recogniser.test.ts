import { expect, test, vi } from 'vitest'
import type { TextCrop } from '../../lib/figure/reader/schema.ts'
import { recogniserOpen } from '../../lib/reading/recogniser.ts'
import { drawnPage } from '../figure/reader/drawn-figure.ts'

/** Loading the larger net takes seconds on a busy machine. */
const SLOW = { timeout: 120_000 }

const ITEMS = ['1', '7', '14', '28', '35', '60', '99', '102', '12A', '4.1']
const LINES = ['Hex bolt M8 x 25', 'Split pin', 'QB-4316-02', '2']

const page = drawnPage(1000, 700, (pen) => {
  pen.font = '28px "Liberation Sans", Arial, sans-serif'
  pen.textAlign = 'left'
  for (const [at, item] of ITEMS.entries()) pen.fillText(item, 100, 40 + at * 60)
  for (const [at, line] of LINES.entries()) pen.fillText(line, 400, 40 + at * 60)
})

test('printed item numbers are read, with a letter behind them or a point between', SLOW, async () => {
  const { recognise, close } = recogniserOpen()
  const crops = ITEMS.map((item, at): TextCrop => {
    const wide = [...item].reduce((sum, sign) => sum + (sign === '.' ? 8 : sign > '9' ? 19 : 15.6), 0)
    return { kind: 'item', box: [99, 27 + at * 60, 102 + wide, 53 + at * 60] }
  })
  const texts = await recognise(page, crops)
  expect(texts.map(({ text }) => text)).toEqual(ITEMS)
  await close()
})

test('a line of print is read with its words apart, and bare paper reads as nothing', SLOW, async () => {
  const { recognise, close } = recogniserOpen()
  const crops = LINES.map((_, at): TextCrop => ({ kind: 'line', box: [395, 24 + at * 60, 640, 58 + at * 60] }))
  crops[3]!.box[2] = 425
  const texts = await recognise(page, [...crops, { kind: 'line', box: [700, 500, 900, 540] }])
  expect(texts.map(({ text }) => text)).toEqual([...LINES, ''])
  expect(texts.at(-1)!.confidence).toBe(0)
  await close()
})

test('what was read once reads the same when it is asked for again, whatever stands beside it', SLOW, async () => {
  const { recognise, close } = recogniserOpen()
  const crops = LINES.map((_, at): TextCrop => ({ kind: 'line', box: [395, 24 + at * 60, 640, 58 + at * 60] }))
  const first = await recognise(page, crops)
  const mixed = await recognise(page, [crops[2]!, { kind: 'line', box: [395, 83, 640, 118] }, crops[0]!])
  expect([mixed[0], mixed[2]]).toEqual([first[2], first[0]])
  expect(mixed[1]!.text).toBe(LINES[1])
  await close()
})

test('a line set in light on dark, as table headers are, is read', SLOW, async () => {
  const header = drawnPage(400, 60, (pen) => {
    pen.fillRect(0, 0, 400, 60)
    pen.fillStyle = '#fff'
    pen.font = '30px "Liberation Sans", Arial, sans-serif'
    pen.fillText('DESCRIPTION', 200, 30)
  })
  const { recognise, close } = recogniserOpen()
  const [read] = await recognise(header, [{ kind: 'line', box: [80, 10, 320, 50] }])
  expect(read!.text).toBe('DESCRIPTION')
  await close()
})

test(
  'a system that the engine was not compiled for learns so, and a later try is not spoiled by it',
  SLOW,
  async () => {
    vi.doMock('onnxruntime-node', () => {
      throw new Error('no binding for this system')
    })
    const { recognise, close } = recogniserOpen()
    const line: TextCrop = { kind: 'line', box: [396, 60, 560, 90] }
    await expect(recognise(page, [line])).rejects.toMatchObject({ code: 'page/no-engine' })
    vi.doUnmock('onnxruntime-node')
    expect((await recognise(page, [line]))[0]!.text).not.toBe('')
    await close()
  },
)
