/**
 * Which signs a TrueType font can show, read off its `cmap` table (OpenType specification, formats 4 and 12). A sign that a font
 * lacks would come out as an empty place, and a part number with a hole in it reads as another number.
 */
export function fontSigns(bytes: Uint8Array): (codePoint: number) => boolean {
  const data = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const tables = data.getUint16(4)
  for (let at = 12; at < 12 + tables * 16; at += 16)
    if (data.getUint32(at) === 0x636d6170) return cmapSigns(data, data.getUint32(at + 8))
  throw new Error('The font has no cmap table.')
}

function cmapSigns(data: DataView, cmap: number): (codePoint: number) => boolean {
  const ranges: [first: number, last: number][] = []
  const tables = data.getUint16(cmap + 2)
  for (let index = 0; index < tables; index++) {
    const at = cmap + data.getUint32(cmap + 4 + index * 8 + 4)
    const format = data.getUint16(at)
    const platform = data.getUint16(cmap + 4 + index * 8)
    // Platform 1 counts in a code page of its own.
    if (platform === 1) continue
    if (format === 4) ranges.push(...segments(data, at))
    if (format === 12)
      for (let group = 0; group < data.getUint32(at + 12); group++)
        ranges.push([data.getUint32(at + 16 + group * 12), data.getUint32(at + 20 + group * 12)])
  }
  const known = new Set<number>()
  for (const [first, last] of ranges) for (let sign = first; sign <= last; sign++) known.add(sign)
  return (codePoint) => known.has(codePoint)
}

/** Segments of format 4, less the signs that lead to glyph 0, the font's own "missing". */
function segments(data: DataView, at: number): [number, number][] {
  const twice = data.getUint16(at + 6)
  const [ends, starts] = [at + 14, at + 16 + twice]
  const [deltas, offsets] = [starts + twice, starts + 2 * twice]
  const found: [number, number][] = []
  for (let index = 0; index < twice; index += 2) {
    const [first, last] = [data.getUint16(starts + index), data.getUint16(ends + index)]
    const offset = data.getUint16(offsets + index)
    for (let sign = first; sign <= last && sign !== 0xffff; sign++) {
      const place = offsets + index + offset + 2 * (sign - first)
      const glyph = offset === 0 ? (sign + data.getUint16(deltas + index)) & 0xffff : data.getUint16(place)
      if (glyph !== 0) found.push([sign, sign])
    }
  }
  return found
}
