import { createHash } from 'node:crypto'
import { closeSync, existsSync, mkdirSync, openSync, writeSync } from 'node:fs'
import { join } from 'node:path'
import { list, type ReadEntry } from 'tar'
import { z } from 'zod'
import { Refusal } from '../refusal.ts'

export const BACKUP_MANIFEST = 'manifest.json'
export const BACKUP_DATABASE = 'cotterbook.db'

/** Nothing but these names: no folder above, no absolute path and no stranger can be written. */
const PATH = /^(cotterbook\.db|(?:pictures|documents|pages)\/[0-9a-f]{64}\.[a-z]{3,4})$/
const MANIFEST_BYTES_MAX = 64 * 1024 * 1024

/** First entry of a backup: what is in it, and what was missing already when it was made. */
export const BackupManifest = z.object({
  format: z.literal('cotterbook-backup'),
  version: z.literal(1),
  created: z.iso.datetime(),
  files: z.array(
    z.object({
      path: z.string().regex(PATH),
      sha256: z.string().regex(/^[0-9a-f]{64}$/),
      bytes: z.number().int().min(0),
    }),
  ),
  missing: z.array(z.string().regex(PATH)),
})
export type BackupManifest = z.infer<typeof BackupManifest>

function manifestRead(text: string): BackupManifest | string {
  try {
    const read = BackupManifest.safeParse(JSON.parse(text))
    if (read.success) return read.data
    return `manifest.json is not that of a backup: ${read.error.issues[0]?.path.join('.')} ${read.error.issues[0]?.message}`
  } catch {
    return 'manifest.json cannot be read'
  }
}

/**
 * Unpacks a backup into an empty folder. Every entry must be a plain file that the manifest names, once, with its size and
 * digest; the manifest comes first, so that nothing larger than it says is ever written. Refuses with 'backup/refused' and
 * what is wrong; the folder then holds what came before the fault.
 */
export async function backupUnpack(file: string, folder: string): Promise<BackupManifest> {
  const faults: string[] = []
  let manifest: BackupManifest | undefined
  let named = new Map<string, BackupManifest['files'][number]>()
  const seen = new Set<string>()
  /** Read to the end: an entry that is cut off never gets here. */
  const whole = new Set<string>()

  const manifestEntry = (entry: ReadEntry) => {
    const chunks: Buffer[] = []
    entry.on('data', (chunk) => chunks.push(chunk as Buffer))
    entry.on('end', () => {
      const read = manifestRead(Buffer.concat(chunks).toString('utf8'))
      if (typeof read === 'string') faults.push(read)
      else {
        manifest = read
        named = new Map(read.files.map((one) => [one.path, one]))
      }
    })
  }
  const fileEntry = (entry: ReadEntry, wanted: BackupManifest['files'][number]) => {
    const handle = openSync(join(folder, wanted.path), 'wx')
    const hash = createHash('sha256')
    entry.on('data', (chunk) => {
      hash.update(chunk as Buffer)
      for (let at = 0; at < chunk.length; ) at += writeSync(handle, chunk as Buffer, at)
    })
    entry.on('end', () => {
      closeSync(handle)
      if (hash.digest('hex') === wanted.sha256) whole.add(wanted.path)
      else faults.push(`${wanted.path} does not fit its digest`)
    })
  }
  const refuse = (entry: ReadEntry, fault: string) => {
    faults.push(fault)
    entry.resume()
  }
  const onReadEntry = (entry: ReadEntry) => {
    const path = String(entry.path)
    const wanted = named.get(path)
    if (faults.length > 0) entry.resume()
    else if (entry.type !== 'File' && entry.type !== 'OldFile')
      refuse(entry, `${path} is no plain file but a ${entry.type}`)
    else if (!manifest && path === BACKUP_MANIFEST && entry.size <= MANIFEST_BYTES_MAX) manifestEntry(entry)
    else if (!manifest) refuse(entry, `it begins with ${path}, not with its manifest`)
    else if (!wanted) refuse(entry, `${path} is not named in its manifest`)
    else if (seen.has(path)) refuse(entry, `${path} is in it twice`)
    else if (entry.size !== wanted.bytes)
      refuse(entry, `${path} has ${entry.size} bytes, its manifest says ${wanted.bytes}`)
    else {
      seen.add(path)
      fileEntry(entry, wanted)
    }
  }

  for (const sub of ['pictures', 'documents', 'pages']) mkdirSync(join(folder, sub), { recursive: true })
  if (!existsSync(file)) throw new Refusal('backup/refused', { file }, { faults: ['it is not there'] })
  try {
    await list({ file, strict: true, onReadEntry })
  } catch (error) {
    faults.push(`it cannot be unpacked: ${error instanceof Error ? error.message : String(error)}`)
  }
  if (faults.length === 0 && !manifest) faults.push('it holds no manifest')
  for (const { path } of faults.length === 0 ? (manifest?.files ?? []) : [])
    if (!whole.has(path)) faults.push(`${path} is missing`)
  if (faults.length === 0 && !whole.has(BACKUP_DATABASE)) faults.push('it holds no database')
  if (faults.length > 0 || !manifest) throw new Refusal('backup/refused', { file }, { faults })
  return manifest
}
