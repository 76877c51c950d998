import { describe, expect, it } from 'vitest'
import { LAYER_SIZES } from '../../lib/reading/glyph-net.ts'
import { weightsPacked, weightsUnpacked } from '../../lib/reading/glyph-weights.ts'

describe('the file of weights', () => {
  it('gives back what was packed, to half of one part in 127 of the greatest of its block', () => {
    const weights = Object.fromEntries(
      Object.entries(LAYER_SIZES).map(([name, size]) => [
        name,
        Float32Array.from({ length: size }, (_, at) => Math.sin(at * 12.9898 + size)),
      ]),
    ) as Parameters<typeof weightsPacked>[0]
    const again = weightsUnpacked(weightsPacked(weights))
    for (const name of Object.keys(LAYER_SIZES) as (keyof typeof LAYER_SIZES)[]) {
      const most = Math.max(...weights[name].map(Math.abs))
      const furthest = Math.max(...weights[name].map((value, at) => Math.abs(value - again[name][at]!)))
      expect(furthest).toBeLessThanOrEqual(most / 254 + 1e-6)
    }
  })

  it('of another size is refused, not read as something else', () => {
    expect(() => weightsUnpacked(Buffer.alloc(100))).toThrow(/100 bytes/)
  })
})
