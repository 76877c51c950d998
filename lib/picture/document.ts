import { createHash } from 'node:crypto'
import { Refusal } from '../refusal.ts'

export const DOCUMENT_MEGABYTES_MAX = 20

/** A document that may be kept: bytes as they were sent, never opened here. */
export interface DocumentChecked {
  /** SHA-256 of `bytes`, hexadecimal. */
  id: string
  bytes: Uint8Array
  mediaType: 'application/pdf'
  extension: 'pdf'
  /** The name it came under, without folders, for saving it again. */
  fileName: string
}

/** True when the bytes begin as a PDF does: `%PDF-` (ISO 32000-2, 7.5.2), as the first bytes of the file. */
export function documentIsPdf(bytes: Uint8Array): boolean {
  return Buffer.from(bytes.buffer, bytes.byteOffset, Math.min(5, bytes.byteLength)).toString('latin1') === '%PDF-'
}

/** Name of a file without folders and without what headers or file systems stumble over; always ends in .pdf. */
export function documentName(name: string): string {
  const plain = (name.split(/[/\\]/).at(-1) ?? '')
    .normalize('NFC')
    .replace(/\.pdf$/i, '')
    .replace(/[^\p{L}\p{N} ._()-]+/gu, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^[. ]+|[. ]+$/g, '')
    .slice(0, 80)
  return `${plain === '' ? 'document' : plain}.pdf`
}

/**
 * Looks at what was sent as a document and answers what may be kept: told by its content, whatever its name says. It is handed
 * out again for saving only, never shown inside our pages, so nothing in it can run here. Refusals in order of precedence:
 * 'document/broken' (empty), 'document/too-heavy', 'document/wrong-type', 'document/broken' (cut off before its end).
 */
export function documentCheck(sent: { bytes: Uint8Array; name: string }): DocumentChecked {
  const { bytes } = sent
  const fileName = documentName(sent.name)
  if (bytes.byteLength === 0) throw new Refusal('document/broken', { name: fileName, why: 'the file is empty' })
  if (bytes.byteLength > DOCUMENT_MEGABYTES_MAX * 1e6)
    throw new Refusal('document/too-heavy', {
      what: `${Math.ceil(bytes.byteLength / 1e6)} MB`,
      limit: `${DOCUMENT_MEGABYTES_MAX} MB`,
    })
  if (!documentIsPdf(bytes)) throw new Refusal('document/wrong-type', { name: sent.name.slice(0, 80) })
  // The last line is the end marker (ISO 32000-2, 7.5.5); mail programs add some bytes, so the last kilobyte is looked at.
  const tail = Buffer.from(
    bytes.buffer,
    bytes.byteOffset + Math.max(0, bytes.byteLength - 1024),
    Math.min(1024, bytes.byteLength),
  )
  if (!tail.toString('latin1').includes('%%EOF'))
    throw new Refusal('document/broken', { name: fileName, why: 'it ends too early' })
  const id = createHash('sha256').update(bytes).digest('hex')
  return { id, bytes, mediaType: 'application/pdf', extension: 'pdf', fileName }
}
