import { type PictureType, pictureFound, pictureSniff } from '../picture/picture-type.ts'

/** What a file holds pages as: a PDF, pixels (scan, photo), or line art. */
export type SourceKind = 'pdf' | 'raster' | 'svg'

/** A PDF may have rubbish before its head; readers look for it in the first 1024 bytes (ISO 32000-1, annex H.3.4.1). */
const PDF_HEAD = 1024
/** So many first bytes are enough to tell the kind; an SVG may begin with a long comment. */
export const KIND_BYTES = 65_536

function pdfHead(bytes: Uint8Array): boolean {
  const head = Buffer.from(bytes.buffer, bytes.byteOffset, Math.min(PDF_HEAD, bytes.byteLength))
  return /%PDF-\d/.test(head.toString('latin1'))
}

/** The kind by content; the name of the file is only a claim. Null when it holds no page that can be read. */
export function sourceKind(bytes: Uint8Array): { kind: SourceKind; type: PictureType | 'PDF' } | null {
  const type = pictureSniff(bytes)
  if (type !== null) return { kind: type === 'SVG' ? 'svg' : 'raster', type }
  return pdfHead(bytes) ? { kind: 'pdf', type: 'PDF' } : null
}

/** What else the bytes look like, as words for an answer. */
export function sourceFound(bytes: Uint8Array): string {
  if (bytes.byteLength === 0) return 'an empty file'
  const found = pictureFound(bytes)
  return found === 'none of the kinds that are read' ? 'neither a PDF nor a picture' : found
}
