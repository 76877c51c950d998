import { readFile, stat } from 'node:fs/promises'
import { basename } from 'node:path'
import { FILE_MEGABYTES_MAX } from '../exchange/table.ts'
import { Refusal } from '../refusal.ts'

/** The bytes of a file on disk. Refuses what is not there, is no plain file or is too large to be read. */
export async function fileRead(path: string): Promise<Uint8Array> {
  const name = basename(path)
  const facts = await stat(path).catch(() => null)
  if (!facts?.isFile()) throw new Refusal('exchange/unreadable', { file: name, why: 'there is no such file' })
  if (facts.size > FILE_MEGABYTES_MAX * 1e6)
    throw new Refusal('exchange/unreadable', { file: name, why: `it has more than ${FILE_MEGABYTES_MAX} MB` })
  return readFile(path)
}

/** Why a file could not be read as JSON, in words: the system names its own codes and the whole path once more. */
export function jsonFault(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : null
  if (code === 'ENOENT') return 'there is no such file'
  if (code === 'EISDIR') return 'it is a folder'
  if (code === 'EACCES') return 'this user may not read it'
  return error instanceof Error ? `it is no whole JSON (${error.message})` : 'it is no JSON'
}
