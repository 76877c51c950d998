import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { jsonValues } from '../../lib/exchange/read-json.ts'
import { bytes, cellsOf, refusalOf } from './files.ts'

/** A text cut into pieces of a length, as a file is read. */
function* cut(text: string, length: number): Generator<string> {
  for (let at = 0; at < text.length; at += length) yield text.slice(at, at + length)
}

describe('a JSON list', () => {
  it('is the same values one by one as read whole, wherever the file is cut (JSON.parse is the judge)', () => {
    fc.assert(
      fc.property(fc.array(fc.jsonValue()), fc.integer({ min: 1, max: 40 }), fc.nat(3), (list, length, indent) => {
        const text = JSON.stringify(list, null, indent)
        expect([...jsonValues(cut(text, length), 'list')].map((value) => JSON.parse(value))).toEqual(
          JSON.parse(text) as unknown,
        )
      }),
      { numRuns: 500, seed: 4116 },
    )
  })

  it('has a name in its header that only the last row has', async () => {
    expect(await cellsOf(bytes('[{"maker":"Oakmoor"},{"number":7,"preferred":true}]'))).toEqual([
      ['maker', 'number', 'preferred'],
      ['Oakmoor', '', ''],
      ['', '7', 'yes'],
    ])
  })

  it.each([
    ['[{"maker":"Oakmoor"', /ends before its list does/],
    ['[{"maker":"Oakmoor"},]', /value 2 is empty/],
    ['[{"maker":"Oakmoor"}] [', /something follows/],
    ['[{"maker":}]', /no whole JSON \(row 1/],
    ['[{"maker":"Oakmoor"},7]', /row 2: it is no object/],
    ['{"maker":"Oakmoor"}', /must be a list of objects/],
    [`[{"maker":"${'a'.repeat(900_000)}`, /row 1.*never closed/],
  ])('that is not whole is refused with the place: %.30s', async (text, why) => {
    expect(await refusalOf(bytes(text))).toMatch(why)
  })
})
