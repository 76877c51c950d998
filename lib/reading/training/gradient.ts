import { FLAT, type GlyphPass, type GlyphWeights, HALF } from '../glyph-net.ts'
import { GLYPH_SIDE } from '../glyph-picture.ts'

/** Adds to `gradient` how the cross entropy of `glyph` changes with each weight (back propagation through one pass). */
export function glyphGradient(weights: GlyphWeights, pass: GlyphPass, glyph: number, gradient: GlyphWeights): void {
  const last = Float32Array.from(pass.share)
  last[glyph]! -= 1
  const hidden = throughDense(pass.hidden, weights.last, last, gradient.last, gradient.lastBias)
  for (let at = 0; at < hidden.length; at++) if (pass.hidden[at] === 0) hidden[at] = 0
  const pool = throughDense(pass.secondPool, weights.hidden, hidden, gradient.hidden, gradient.hiddenBias)
  const second = throughPool(pool, pass.secondFrom, pass.second, FLAT)
  const firstPool = throughConvolution(
    pass.firstPool,
    HALF,
    weights.second,
    second,
    gradient.second,
    gradient.secondBias,
  )
  const first = throughPool(firstPool, pass.firstFrom, pass.first, firstPool.length)
  throughConvolution(pass.input, GLYPH_SIDE, weights.first, first, gradient.first, gradient.firstBias)
}

function throughDense(
  input: Float32Array,
  weights: Float32Array,
  slope: Float32Array,
  gradient: Float32Array,
  bias: Float32Array,
): Float32Array {
  const back = new Float32Array(input.length)
  for (let o = 0; o < slope.length; o++) bias[o]! += slope[o]!
  for (let i = 0; i < input.length; i++) {
    const value = input[i]!
    const at = i * slope.length
    let sum = 0
    for (let o = 0; o < slope.length; o++) {
      sum += weights[at + o]! * slope[o]!
      if (value !== 0) gradient[at + o]! += value * slope[o]!
    }
    back[i] = sum
  }
  return back
}

/** Sends the slope back to the pixel that was greatest, where it was above zero. */
function throughPool(slope: Float32Array, from: Int32Array, output: Float32Array, size: number): Float32Array {
  const back = new Float32Array(output.length)
  for (let at = 0; at < size; at++) if (output[from[at]!]! > 0) back[from[at]!]! += slope[at]!
  return back
}

function throughConvolution(
  input: Float32Array,
  side: number,
  weights: Float32Array,
  slope: Float32Array,
  gradient: Float32Array,
  bias: Float32Array,
): Float32Array {
  const outs = bias.length
  const ins = input.length / (side * side)
  const back = new Float32Array(input.length)
  for (let row = 0; row < side; row++)
    for (let column = 0; column < side; column++) {
      const to = (row * side + column) * outs
      for (let o = 0; o < outs; o++) {
        const s = slope[to + o]!
        if (s === 0) continue
        bias[o]! += s
        for (let tap = 0; tap < 9; tap++) {
          const y = row + Math.floor(tap / 3) - 1
          const x = column + (tap % 3) - 1
          if (y < 0 || y >= side || x < 0 || x >= side) continue
          const from = (y * side + x) * ins
          for (let c = 0; c < ins; c++) {
            const at = (tap * ins + c) * outs + o
            gradient[at]! += s * input[from + c]!
            back[from + c]! += s * weights[at]!
          }
        }
      }
    }
  return back
}
