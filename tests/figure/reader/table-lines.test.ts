import { describe, expect, it } from 'vitest'
import type { CropText, GreyPage, Recogniser } from '../../../lib/figure/reader/schema.ts'
import { linesRead, type NumberKind } from '../../../lib/figure/reader/table-lines.ts'

const PAGE: GreyPage = { width: 400, height: 100, data: new Uint8Array(40_000).fill(255) }

/** Reads a cell of a column of quantities, `wide` times as wide as high: sign by sign and as a line of print. */
async function quantityRead(
  bySign: CropText,
  byLine: CropText,
  wide = 1.4,
  number: NumberKind = 'quantity',
): Promise<CropText> {
  const recognise: Recogniser = async (_, crops) => crops.map(({ kind }) => (kind === 'item' ? bySign : byLine))
  const box: [number, number, number, number] = [50, 40, 50 + 20 * wide, 60]
  const [read] = await linesRead(PAGE, [{ line: { box, inverse: false }, number }], recognise)
  return read!
}

describe('a quantity', () => {
  it('printed as a word (AR, REF, X) is never a number of parts, however sure the reader of signs is', async () => {
    for (const word of ['AR', 'REF', 'A/R', 'X'])
      expect((await quantityRead({ text: '6', confidence: 0.99 }, { text: word, confidence: 0.6 })).text).toBe(word)
  })

  it('read as two different numbers is left empty for a person to look at', async () => {
    expect(await quantityRead({ text: '16', confidence: 0.9 }, { text: '18', confidence: 0.9 })).toEqual({
      text: '',
      confidence: 0,
    })
  })

  it('read twice alike is surer than either reading', async () => {
    const { text, confidence } = await quantityRead({ text: '16', confidence: 0.7 }, { text: '16', confidence: 0.7 })
    expect(text).toBe('16')
    expect(confidence).toBeCloseTo(0.91)
  })

  it('of one narrow figure is read once', async () => {
    const read = await quantityRead({ text: '1', confidence: 0.99 }, { text: 'l', confidence: 0.5 }, 0.5)
    expect(read).toEqual({ text: '1', confidence: 0.99 })
  })
})

describe('a number of a column without a head', () => {
  it('read in two ways keeps the surer reading, in doubt, for it may be the item that makes the list a list', async () => {
    const read = await quantityRead({ text: '12', confidence: 0.9 }, { text: '17', confidence: 0.7 }, 1.4, 'either')
    expect(read).toEqual({ text: '12', confidence: 0.5 })
  })

  it('with a letter behind it, read twice alike, is sure', async () => {
    const read = await quantityRead({ text: '12A', confidence: 0.8 }, { text: '12A', confidence: 0.8 }, 1.6, 'either')
    expect(read.text).toBe('12A')
    expect(read.confidence).toBeCloseTo(0.96)
  })
})
