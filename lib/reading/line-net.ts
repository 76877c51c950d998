import { type WireField, wireRead, wireWritten } from './protobuf.ts'

/** A step of the net: numbers of the fields are those of ONNX (onnx.proto, NodeProto). */
interface Step {
  kind: string
  inputs: string[]
  outputs: string[]
  rest: WireField[]
}

interface Weights {
  dims: number[]
  values: Float32Array
}

const GRAPH = 7
const NODE = 1
const ANSWER = 12
/** ValueInfoProto: its type, of which the tensor, of which the shape. */
const SHAPE_OF_ANSWER = [2, 1, 2]
const [INPUT, OUTPUT, KIND, ATTRIBUTE] = [1, 2, 4, 5]
const [NAMED, NUMBER, WHOLE, TENSOR, TYPE] = [1, 2, 3, 5, 20]
const [DIMS, DATA_TYPE, RAW] = [1, 2, 9]
const FLOAT = 1

const text = (value: WireField['value']) => new TextDecoder().decode(value as Uint8Array)
const bytes = (value: string) => new TextEncoder().encode(value)

/**
 * The recognition net with less to reckon and the same answer. As published it is written out step by step: each
 * convolution is followed by a scale, a shift, an activation in four steps, and again a scale and a shift, which together
 * take a third of the time. Scales and shifts are drawn into the convolutions beside them, the activation is two steps, and
 * of the signs it tells apart only those at `kept` are reckoned, in that order. A net written otherwise is left as it is
 * where it differs. @throws Error when the file is no ONNX model or its last layer is not where it should be.
 */
export function lineNetLightened(file: Uint8Array, kept: readonly number[]): Uint8Array {
  const model = wireRead(file)
  const graphField = model.find(({ field }) => field === GRAPH)
  if (!graphField) throw new Error('The file of the net holds no graph.')
  const graph = wireRead(graphField.value as Uint8Array)
  const net = new Net(graph.filter(({ field }) => field === NODE).map(({ value }) => stepRead(value as Uint8Array)))
  net.convolutionsScaled()
  net.activationsShortened()
  net.activationsScaled()
  net.signsKept(kept)
  const others = graph
    .filter(({ field }) => field !== NODE)
    .map((one) => (one.field === ANSWER ? { ...one, value: shapeForgotten(one.value as Uint8Array) } : one))
  const nodes = net.written().map((value): WireField => ({ field: NODE, wire: 2, value }))
  graphField.value = wireWritten([...nodes, ...others])
  return wireWritten(model)
}

/** The answer as the graph declares it, without its shape, which says how many signs there were. */
function shapeForgotten(declared: Uint8Array): Uint8Array {
  const inside = (message: Uint8Array, path: readonly number[]): Uint8Array =>
    wireWritten(
      wireRead(message).flatMap((one): WireField[] => {
        if (one.field !== path[0]) return [one]
        return path.length === 1 ? [] : [{ ...one, value: inside(one.value as Uint8Array, path.slice(1)) }]
      }),
    )
  return inside(declared, SHAPE_OF_ANSWER)
}

function stepRead(message: Uint8Array): Step {
  const fields = wireRead(message)
  const all = (wanted: number) => fields.filter(({ field }) => field === wanted).map(({ value }) => text(value))
  const rest = fields.filter(({ field }) => field !== INPUT && field !== OUTPUT && field !== KIND)
  return { kind: all(KIND)[0] ?? '', inputs: all(INPUT), outputs: all(OUTPUT), rest }
}

function stepWritten({ kind, inputs, outputs, rest }: Step): Uint8Array {
  const named =
    (field: number) =>
    (name: string): WireField => ({ field, wire: 2, value: bytes(name) })
  return wireWritten([...inputs.map(named(INPUT)), ...outputs.map(named(OUTPUT)), named(KIND)(kind), ...rest])
}

function attribute(step: Step, name: string): WireField[] | null {
  for (const { field, value } of step.rest) {
    if (field !== ATTRIBUTE) continue
    const fields = wireRead(value as Uint8Array)
    if (fields.some((one) => one.field === NAMED && text(one.value) === name)) return fields
  }
  return null
}

function numberAttribute(name: string, value: number): WireField {
  const four = new Uint8Array(Float32Array.of(value).buffer)
  return {
    field: ATTRIBUTE,
    wire: 2,
    value: wireWritten([
      { field: NAMED, wire: 2, value: bytes(name) },
      { field: NUMBER, wire: 5, value: four },
      { field: TYPE, wire: 0, value: 1 },
    ]),
  }
}

/** Whole numbers that may stand one by one or packed into one field. */
function wholes(fields: readonly WireField[], wanted: number): number[] {
  return fields
    .filter(({ field }) => field === wanted)
    .flatMap(({ value }) => {
      if (typeof value === 'number') return [value]
      // Packed numbers are written like the keys of fields.
      const found: number[] = []
      let [sum, times] = [0, 1]
      for (const byte of value) {
        sum += (byte & 127) * times
        times *= 128
        if (byte < 128) {
          found.push(sum)
          ;[sum, times] = [0, 1]
        }
      }
      return found
    })
}

class Net {
  private readonly weights = new Map<string, Weights>()
  private count = 0
  constructor(private steps: Step[]) {
    for (const step of steps) {
      if (step.kind !== 'Constant') continue
      const tensor = attribute(step, 'value')?.find(({ field }) => field === TENSOR)
      if (!tensor) continue
      const fields = wireRead(tensor.value as Uint8Array)
      const raw = fields.find(({ field }) => field === RAW)?.value
      if (fields.find(({ field }) => field === DATA_TYPE)?.value !== FLOAT || !(raw instanceof Uint8Array)) continue
      this.weights.set(step.outputs[0]!, {
        dims: wholes(fields, DIMS),
        values: new Float32Array(Uint8Array.from(raw).buffer),
      })
    }
  }

  /** Convolution, times a number, plus a number: all of it can be said by the convolution's own weights. */
  convolutionsScaled(): void {
    for (const step of this.steps.filter(({ kind }) => kind === 'Conv')) {
      const scale = this.after(step, 'Mul')
      const shift = scale && this.after(scale.step, 'Add')
      if (!scale || !shift) continue
      this.scaleConvolution(step, scale.number)
      this.shiftConvolution(step, () => shift.number)
      step.outputs = shift.step.outputs
      this.drop(scale.step, shift.step)
    }
  }

  /** x * clip(x + 3, 0, 6) / 6, written in four steps, is x times the hard sigmoid of x. */
  activationsShortened(): void {
    for (const plus of this.steps.filter(({ kind }) => kind === 'Add')) {
      const from = plus.inputs.find((name) => !this.weights.has(name))
      const clip = this.only(plus, 'Clip')
      const times = clip && this.only(clip, 'Mul')
      const by = times && this.after(times, 'Div')
      if (!from || !clip || !times?.inputs.includes(from) || by?.number !== 6) continue
      if (this.numberIn(plus) !== 3 || this.limit(clip, 'min') !== 0 || this.limit(clip, 'max') !== 6) continue
      plus.kind = 'HardSigmoid'
      plus.inputs = [from]
      plus.rest = [numberAttribute('alpha', 1 / 6), numberAttribute('beta', 0.5)]
      times.inputs = [from, plus.outputs[0]!]
      times.outputs = by.step.outputs
      this.drop(clip, by.step)
    }
  }

  /**
   * Times a number, plus a number, before a convolution. Where the convolution looks at one place only, both are drawn into it;
   * where it looks beyond the edge, where there is nothing, the shift stays.
   */
  activationsScaled(): void {
    for (const scale of this.steps.filter(({ kind }) => kind === 'Mul')) {
      const by = this.numberIn(scale)
      const shift = by === null || by === 0 ? null : this.after(scale, 'Add')
      const next = shift && this.only(shift.step, 'Conv')
      if (by === null || !shift || !next || next.inputs[0] !== shift.step.outputs[0]) continue
      const from = scale.inputs.find((name) => !this.weights.has(name))!
      const dims = this.weights.get(next.inputs[1]!)!.dims
      if (dims[2] === 1 && dims[3] === 1 && wholes(attribute(next, 'group') ?? [], WHOLE)[0] === 1) {
        const { values } = this.weights.get(next.inputs[1]!)!
        const each = dims[1]!
        this.shiftConvolution(next, (channel) => {
          let sum = 0
          for (let at = 0; at < each; at++) sum += values[channel * each + at]!
          return sum * shift.number
        })
        this.scaleConvolution(next, by, false)
        next.inputs[0] = from
        this.drop(scale, shift.step)
      } else {
        this.scaleConvolution(next, by, false)
        const name = this.added({ dims: [1], values: Float32Array.of(shift.number / by) })
        shift.step.inputs = [from, name]
        this.drop(scale)
      }
    }
  }

  /** The last layer tells thousands of signs apart: those that are not wanted are taken out of it. */
  signsKept(kept: readonly number[]): void {
    const softmax = this.steps.at(-1)
    const shift = this.steps.find((step) => step.outputs[0] === softmax?.inputs[0])
    const layer = this.steps.find((step) => step.kind === 'MatMul' && shift?.inputs.includes(step.outputs[0]!))
    const weights = layer && this.weights.get(layer.inputs[1]!)
    const biasName = shift?.inputs.find((name) => this.weights.has(name))
    const bias = biasName === undefined ? undefined : this.weights.get(biasName)
    if (softmax?.kind !== 'Softmax' || !layer || !shift || !weights || !bias || biasName === undefined)
      throw new Error('The net does not end in a layer of signs.')
    const [deep, signs] = weights.dims as [number, number]
    if (kept.some((at) => at < 0 || at >= signs)) throw new Error(`The net tells ${signs} signs apart.`)
    const fewer = new Float32Array(deep * kept.length)
    for (let row = 0; row < deep; row++)
      for (const [n, at] of kept.entries()) fewer[row * kept.length + n] = weights.values[row * signs + at]!
    const biases = Float32Array.from(kept, (at) => bias.values[at]!)
    layer.inputs[1] = this.added({ dims: [deep, kept.length], values: fewer })
    shift.inputs = shift.inputs.map((name) =>
      name === biasName ? this.added({ dims: [kept.length], values: biases }) : name,
    )
  }

  /** Steps in order; weights that nobody asks for any more are left out. */
  written(): Uint8Array[] {
    const wanted = new Set(this.steps.flatMap(({ inputs }) => inputs))
    return this.steps.filter(({ kind, outputs }) => kind !== 'Constant' || wanted.has(outputs[0]!)).map(stepWritten)
  }

  private drop(...gone: Step[]): void {
    this.steps = this.steps.filter((step) => !gone.includes(step))
  }

  /** The single number among the inputs of a step; null when there is none. */
  private numberIn({ inputs }: Step): number | null {
    const found = inputs.map((name) => this.weights.get(name)).find((weights) => weights?.values.length === 1)
    return found?.values[0] ?? null
  }

  private limit(clip: Step, name: string): number | null {
    const value = attribute(clip, name)?.find(({ field }) => field === NUMBER)?.value
    return value instanceof Uint8Array ? new DataView(value.buffer, value.byteOffset).getFloat32(0, true) : null
  }

  /** The step that alone takes what this one gives, when it is of that kind. */
  private only(step: Step, kind: string): Step | null {
    const takers = this.steps.filter(({ inputs }) => inputs.includes(step.outputs[0]!))
    return takers.length === 1 && takers[0]!.kind === kind ? takers[0]! : null
  }

  private after(step: Step, kind: string): { step: Step; number: number } | null {
    const next = this.only(step, kind)
    const number = next && this.numberIn(next)
    return next && number !== null ? { step: next, number } : null
  }

  /** Weights under a new name, as a step at the head of the net. */
  private added(weights: Weights): string {
    const name = `lightened.${this.count++}`
    this.weights.set(name, weights)
    const raw = new Uint8Array(weights.values.buffer, weights.values.byteOffset, weights.values.byteLength)
    const tensor = wireWritten([
      ...weights.dims.map((value): WireField => ({ field: DIMS, wire: 0, value })),
      { field: DATA_TYPE, wire: 0, value: FLOAT },
      { field: RAW, wire: 2, value: raw },
    ])
    const value = wireWritten([
      { field: NAMED, wire: 2, value: bytes('value') },
      { field: TENSOR, wire: 2, value: tensor },
      { field: TYPE, wire: 0, value: 4 },
    ])
    this.steps.unshift({
      kind: 'Constant',
      inputs: [],
      outputs: [name],
      rest: [{ field: ATTRIBUTE, wire: 2, value }],
    })
    return name
  }

  private scaleConvolution(step: Step, by: number, biasToo = true): void {
    const { dims, values } = this.weights.get(step.inputs[1]!)!
    step.inputs[1] = this.added({ dims, values: values.map((value) => value * by) })
    const bias = step.inputs[2] === undefined ? undefined : this.weights.get(step.inputs[2])
    if (biasToo && bias)
      step.inputs[2] = this.added({ dims: bias.dims, values: bias.values.map((value) => value * by) })
  }

  private shiftConvolution(step: Step, by: (channel: number) => number): void {
    const channels = this.weights.get(step.inputs[1]!)!.dims[0]!
    const bias = step.inputs[2] === undefined ? undefined : this.weights.get(step.inputs[2])
    const values = Float32Array.from({ length: channels }, (_, at) => (bias?.values[at] ?? 0) + by(at))
    step.inputs[2] = this.added({ dims: [channels], values })
  }
}
