import type { Readable } from 'node:stream'
import { type Entry, fromBuffer, type ZipFile } from 'yauzl'
import { unreadable } from './table.ts'

/** Limits that no real spreadsheet comes near, checked on what the archive says before a byte of it is unpacked. */
const ENTRIES_MAX = 2000
const UNPACKED_MEGABYTES_MAX = 600
/** A file of mostly equal cells packs 100 : 1; a bomb packs 1000 : 1. */
const RATIO_MAX = 300
const RATIO_FROM_BYTES = 4_000_000

export interface Zip {
  names: ReadonlySet<string>
  /** The unpacked bytes in pieces; no more than the archive said. */
  pieces(name: string): AsyncGenerator<Uint8Array>
  close(): void
}

/** Opens an archive that is all in memory. Refuses bombs, encrypted entries, names that lead outside and names twice. */
export function zipOpen(bytes: Uint8Array, file: string): Promise<Zip> {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const broken = (error: Error | null) => unreadable(file, `its archive is damaged (${error?.message ?? 'no entries'})`)
  return new Promise((resolve, reject) => {
    fromBuffer(buffer, { lazyEntries: true, validateEntrySizes: true, strictFileNames: true }, (error, zip) => {
      if (error || !zip) return reject(broken(error))
      const entries = new Map<string, Entry>()
      let unpacked = 0
      if (zip.entryCount > ENTRIES_MAX)
        return reject(unreadable(file, `its archive has more than ${ENTRIES_MAX} files`))
      zip.on('error', (fault: Error) => reject(broken(fault)))
      zip.on('entry', (entry: Entry) => {
        const why = entryFault(entry, entries)
        unpacked += entry.uncompressedSize
        if (why !== null) return reject(unreadable(file, why))
        if (unpacked > UNPACKED_MEGABYTES_MAX * 1e6)
          return reject(unreadable(file, `it unpacks to more than ${UNPACKED_MEGABYTES_MAX} MB`))
        entries.set(entry.fileName, entry)
        zip.readEntry()
      })
      zip.on('end', () => resolve(zipOf(zip, entries, file)))
      zip.readEntry()
    })
  })
}

function entryFault(entry: Entry, before: ReadonlyMap<string, Entry>): string | null {
  if (entry.isEncrypted()) return 'it is locked with a password'
  if (before.has(entry.fileName)) return 'its archive has one name twice'
  const isLarge = entry.uncompressedSize > RATIO_FROM_BYTES
  if (isLarge && entry.uncompressedSize > entry.compressedSize * RATIO_MAX)
    return `a part of it unpacks to more than ${RATIO_MAX} times its size`
  return null
}

function zipOf(zip: ZipFile, entries: ReadonlyMap<string, Entry>, file: string): Zip {
  const stream = (entry: Entry) =>
    new Promise<Readable>((resolve, reject) => {
      zip.openReadStream(entry, (error, readable) => (error || !readable ? reject(error) : resolve(readable)))
    })
  return {
    names: new Set(entries.keys()),
    async *pieces(name) {
      const entry = entries.get(name)
      if (!entry) throw unreadable(file, `its archive has no ${name}`)
      try {
        for await (const piece of await stream(entry)) yield piece as Uint8Array
      } catch (error) {
        throw unreadable(file, `its archive is damaged (${error instanceof Error ? error.message : 'broken'})`)
      }
    },
    close: () => zip.close(),
  }
}
