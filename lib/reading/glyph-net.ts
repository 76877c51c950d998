import { GLYPH_SIDE } from './glyph-picture.ts'

/** Signs an item number is made of; I, O, Q, S and Z are left out, as parts books leave them out beside 1, 0, 5 and 2. */
export const GLYPHS = [...'0123456789ABCDEFGHJKLMNPRTUVWXY', ''] as const
/** Place of "no sign of an item number" (the empty text) in `GLYPHS`. */
export const NO_GLYPH = GLYPHS.length - 1

const FIRST = 8
const SECOND = 16
const HIDDEN = 64
export const HALF = GLYPH_SIDE / 2
export const QUARTER = GLYPH_SIDE / 4
export const FLAT = QUARTER * QUARTER * SECOND

/** Sizes of the eight blocks of weights: each layer's weights, then its biases. */
export const LAYER_SIZES = {
  first: 9 * FIRST,
  firstBias: FIRST,
  second: 9 * FIRST * SECOND,
  secondBias: SECOND,
  hidden: FLAT * HIDDEN,
  hiddenBias: HIDDEN,
  last: HIDDEN * GLYPHS.length,
  lastBias: GLYPHS.length,
} as const
export type GlyphWeights = Record<keyof typeof LAYER_SIZES, Float32Array>

/** Everything a pass leaves behind, which training needs to go back through it. */
export interface GlyphPass {
  input: Float32Array
  first: Float32Array
  firstPool: Float32Array
  firstFrom: Int32Array
  second: Float32Array
  secondPool: Float32Array
  secondFrom: Int32Array
  hidden: Float32Array
  share: Float32Array
}

/**
 * A small convolutional net (two layers of 3 x 3 with pooling, one hidden layer): picture of a sign -> chance of each of
 * `GLYPHS`, summing to one. Two tenths of a millisecond a sign.
 */
export function glyphPass(weights: GlyphWeights, input: Float32Array): GlyphPass {
  const first = convolved(input, GLYPH_SIDE, 1, weights.first, weights.firstBias, FIRST)
  const [firstPool, firstFrom] = pooled(first, GLYPH_SIDE, FIRST)
  const second = convolved(firstPool, HALF, FIRST, weights.second, weights.secondBias, SECOND)
  const [secondPool, secondFrom] = pooled(second, HALF, SECOND)
  const hidden = dense(secondPool, weights.hidden, weights.hiddenBias)
  for (let at = 0; at < hidden.length; at++) if (hidden[at]! < 0) hidden[at] = 0
  const share = dense(hidden, weights.last, weights.lastBias)
  const most = share.reduce((m, v) => Math.max(m, v), -1e9)
  let sum = 0
  for (let at = 0; at < share.length; at++) {
    share[at] = Math.exp(share[at]! - most)
    sum += share[at]!
  }
  for (let at = 0; at < share.length; at++) share[at]! /= sum
  return { input, first, firstPool, firstFrom, second, secondPool, secondFrom, hidden, share }
}

/** 3 x 3, same size, then below zero is cut off. Layout: pixel by pixel, channels together; weights [tap][in][out]. */
function convolved(
  input: Float32Array,
  side: number,
  channelsIn: number,
  weights: Float32Array,
  bias: Float32Array,
  channelsOut: number,
): Float32Array {
  const output = new Float32Array(side * side * channelsOut)
  const sum = new Float32Array(channelsOut)
  for (let row = 0; row < side; row++)
    for (let column = 0; column < side; column++) {
      sum.set(bias)
      for (let tap = 0; tap < 9; tap++) {
        const y = row + Math.floor(tap / 3) - 1
        const x = column + (tap % 3) - 1
        if (y < 0 || y >= side || x < 0 || x >= side) continue
        const from = (y * side + x) * channelsIn
        for (let c = 0; c < channelsIn; c++) {
          const value = input[from + c]!
          if (value === 0) continue
          const at = (tap * channelsIn + c) * channelsOut
          for (let o = 0; o < channelsOut; o++) sum[o]! += value * weights[at + o]!
        }
      }
      const to = (row * side + column) * channelsOut
      for (let o = 0; o < channelsOut; o++) output[to + o] = Math.max(0, sum[o]!)
    }
  return output
}

/** The greatest of each 2 x 2 block, and where it stood. */
function pooled(input: Float32Array, side: number, channels: number): [Float32Array, Int32Array] {
  const half = side / 2
  const output = new Float32Array(half * half * channels)
  const from = new Int32Array(output.length)
  for (let row = 0; row < half; row++)
    for (let column = 0; column < half; column++)
      for (let c = 0; c < channels; c++) {
        const corner = (row * 2 * side + column * 2) * channels + c
        let best = corner
        for (const at of [corner + channels, corner + side * channels, corner + (side + 1) * channels])
          if (input[at]! > input[best]!) best = at
        const to = (row * half + column) * channels + c
        output[to] = input[best]!
        from[to] = best
      }
  return [output, from]
}

/** Weights [in][out]. */
function dense(input: Float32Array, weights: Float32Array, bias: Float32Array): Float32Array {
  const output = Float32Array.from(bias)
  for (let i = 0; i < input.length; i++) {
    const value = input[i]!
    if (value === 0) continue
    const at = i * output.length
    for (let o = 0; o < output.length; o++) output[o]! += value * weights[at + o]!
  }
  return output
}
