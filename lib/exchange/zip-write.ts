import { Readable } from 'node:stream'
import { crc32, createDeflateRaw } from 'node:zlib'

/** One file of an archive; its text is made piece by piece and only its packed bytes are kept. */
export interface ZipPart {
  name: string
  text: AsyncIterable<string> | Iterable<string>
}

// Local file header, central directory header and end record as APPNOTE.TXT of the ZIP format lays them out, without ZIP64:
// an archive of the largest export stays far below 4 GB. The date is 1 January 1980, so that equal data makes equal files.
const [LOCAL, CENTRAL, END] = [0x04034b50, 0x02014b50, 0x06054b50]
const [VERSION, UTF8, DEFLATED, DATE_1980] = [20, 0x0800, 8, 0x0021]

interface Packed {
  name: Buffer
  crc: number
  packed: number
  unpacked: number
  at: number
}

function header({ name, crc, packed, unpacked }: Packed): Buffer {
  const bytes = Buffer.alloc(26)
  bytes.writeUInt16LE(VERSION, 0)
  bytes.writeUInt16LE(UTF8, 2)
  bytes.writeUInt16LE(DEFLATED, 4)
  bytes.writeUInt16LE(0, 6)
  bytes.writeUInt16LE(DATE_1980, 8)
  bytes.writeUInt32LE(crc, 10)
  bytes.writeUInt32LE(packed, 14)
  bytes.writeUInt32LE(unpacked, 18)
  bytes.writeUInt16LE(name.length, 22)
  return bytes
}

function signature(value: number): Buffer {
  const bytes = Buffer.alloc(4)
  bytes.writeUInt32LE(value, 0)
  return bytes
}

function central(one: Packed): Buffer {
  const tail = Buffer.alloc(14)
  tail.writeUInt32LE(one.at, 10)
  const made = Buffer.alloc(2)
  made.writeUInt16LE(VERSION, 0)
  return Buffer.concat([signature(CENTRAL), made, header(one), tail, one.name])
}

/** The archive in pieces. */
export async function* zipBytes(parts: readonly ZipPart[]): AsyncGenerator<Uint8Array> {
  const directory: Packed[] = []
  let at = 0
  for (const { name, text } of parts) {
    const one: Packed = { name: Buffer.from(name), crc: 0, packed: 0, unpacked: 0, at }
    const plain = async function* () {
      for await (const piece of text) {
        const bytes = Buffer.from(piece)
        one.crc = crc32(bytes, one.crc)
        one.unpacked += bytes.length
        yield bytes
      }
    }
    const body: Uint8Array[] = []
    for await (const piece of Readable.from(plain()).pipe(createDeflateRaw())) body.push(piece as Uint8Array)
    one.packed = body.reduce((sum, piece) => sum + piece.length, 0)
    yield Buffer.concat([signature(LOCAL), header(one), one.name])
    yield* body
    at += 4 + 26 + one.name.length + one.packed
    directory.push(one)
  }
  const index = Buffer.concat(directory.map(central))
  const end = Buffer.alloc(18)
  end.writeUInt16LE(directory.length, 4)
  end.writeUInt16LE(directory.length, 6)
  end.writeUInt32LE(index.length, 8)
  end.writeUInt32LE(at, 12)
  yield Buffer.concat([index, signature(END), end])
}
