/** One field of a message in Protocol Buffers' wire format: its number, and its bytes or its whole number. */
export interface WireField {
  field: number
  value: number | Uint8Array
  /** How the bytes stand in the file: 2 with their length, 1 eight bytes, 5 four bytes; 0 is a whole number. */
  wire: 0 | 1 | 2 | 5
}

/** Fields of a message in order (Protocol Buffers, encoding). @throws Error when the bytes are no message. */
export function wireRead(bytes: Uint8Array): WireField[] {
  const fields: WireField[] = []
  let at = 0
  const whole = (): number => {
    let value = 0
    for (let times = 1; ; times *= 128) {
      const byte = bytes[at++]
      if (byte === undefined) throw new Error('A message ends within a number.')
      value += (byte & 127) * times
      if (byte < 128) return value
    }
  }
  while (at < bytes.length) {
    const key = whole()
    const field = Math.floor(key / 8)
    const wire = key % 8
    if (wire === 0) {
      const start = at
      const value = whole()
      // Negative numbers take ten bytes, more than a number holds: they are kept as they stand.
      fields.push({ field, wire, value: at - start > 7 ? bytes.subarray(start, at) : value })
      continue
    }
    if (wire !== 1 && wire !== 2 && wire !== 5) throw new Error(`A message has a field of kind ${wire}.`)
    const length = wire === 2 ? whole() : wire === 1 ? 8 : 4
    if (at + length > bytes.length) throw new Error('A message ends within a field.')
    fields.push({ field, wire, value: bytes.subarray(at, at + length) })
    at += length
  }
  return fields
}

export function wireWritten(fields: readonly WireField[]): Uint8Array {
  const parts: Uint8Array[] = []
  for (const { field, wire, value } of fields) {
    parts.push(wholeWritten(field * 8 + wire))
    if (typeof value === 'number') parts.push(wholeWritten(value))
    else {
      if (wire === 2) parts.push(wholeWritten(value.length))
      parts.push(value)
    }
  }
  return new Uint8Array(Buffer.concat(parts))
}

function wholeWritten(value: number): Uint8Array {
  const bytes: number[] = []
  let left = value
  for (; left >= 128; left = Math.floor(left / 128)) bytes.push((left % 128) + 128)
  bytes.push(left)
  return Uint8Array.from(bytes)
}
