import { type GlyphWeights, LAYER_SIZES } from './glyph-net.ts'

const NAMES = Object.keys(LAYER_SIZES) as (keyof typeof LAYER_SIZES)[]
const SCALE_BYTES = 8

/** Weights as a file: block by block in the order of `LAYER_SIZES`, a scale (double, little-endian), then one signed byte a weight. */
export function weightsPacked(weights: GlyphWeights): Buffer {
  return Buffer.concat(
    NAMES.flatMap((name) => {
      const scale = weights[name].reduce((most, value) => Math.max(most, Math.abs(value)), 1e-9) / 127
      const head = Buffer.alloc(SCALE_BYTES)
      head.writeDoubleLE(scale)
      return [head, Buffer.from(Int8Array.from(weights[name], (value) => Math.round(value / scale)).buffer)]
    }),
  )
}

/** The weights of such a file. @throws Error when it is not of the net's size. */
export function weightsUnpacked(file: Buffer): GlyphWeights {
  const size = NAMES.reduce((sum, name) => sum + SCALE_BYTES + LAYER_SIZES[name], 0)
  if (file.length !== size) throw new Error(`The file of weights has ${file.length} bytes, the net needs ${size}.`)
  let at = 0
  return Object.fromEntries(
    NAMES.map((name) => {
      const scale = file.readDoubleLE(at)
      const values = Float32Array.from(
        { length: LAYER_SIZES[name] },
        (_, i) => file.readInt8(at + SCALE_BYTES + i) * scale,
      )
      at += SCALE_BYTES + LAYER_SIZES[name]
      return [name, values]
    }),
  ) as GlyphWeights
}
