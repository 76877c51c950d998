/** What the first bytes of a picture say it is. A name or a declared media type is only a claim. */
export type PictureType = 'PNG' | 'JPEG' | 'WebP' | 'TIFF' | 'SVG'

interface TypeFacts {
  extensions: readonly string[]
  mediaTypes: readonly string[]
}

/** File extensions and IANA media types under which each type may be sent. */
const TYPES: Record<PictureType, TypeFacts> = {
  PNG: { extensions: ['png'], mediaTypes: ['image/png'] },
  JPEG: { extensions: ['jpg', 'jpeg'], mediaTypes: ['image/jpeg', 'image/jpg'] },
  WebP: { extensions: ['webp'], mediaTypes: ['image/webp'] },
  TIFF: { extensions: ['tif', 'tiff'], mediaTypes: ['image/tiff', 'image/tiff-fx'] },
  SVG: { extensions: ['svg'], mediaTypes: ['image/svg+xml'] },
}

/** Declared when the sender does not know; says nothing. */
const NO_CLAIM = new Set(['', 'application/octet-stream', 'binary/octet-stream'])

/** Leading bytes (latin-1) of files that people send by mistake, so that the answer can name them. */
const OTHERS: readonly [starts: (head: string) => boolean, name: string][] = [
  [(head) => /^GIF8[79]a/.test(head), 'GIF'],
  [(head) => head.startsWith('%PDF-'), 'PDF'],
  [(head) => head.startsWith('BM'), 'BMP'],
  [(head) => head.startsWith('PK\x03\x04'), 'a ZIP archive'],
  [(head) => head.startsWith('\x1f\x8b'), 'a gzip archive'],
  [(head) => /^[\s\S]{4}ftyp(?:hei[cx]|mif1|avif)/.test(head), 'HEIC or AVIF'],
  [(head) => /^(?:\xff\xfe|\xfe\xff)/.test(head), 'text in UTF-16'],
  [(head) => /^(?:\xef\xbb\xbf)?\s*<(?:!doctype\s+html|html)/i.test(head), 'HTML'],
]

function latin(bytes: Uint8Array, length: number): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset, Math.min(length, bytes.byteLength)).toString('latin1')
}

/** True when the first element of the text is `svg`; declaration, comments and document type may stand before it. */
function startsAsSvg(head: string): boolean {
  let rest = head.replace(/^\xef\xbb\xbf/, '').trimStart()
  for (;;) {
    const end = rest.startsWith('<?')
      ? '?>'
      : rest.startsWith('<!--')
        ? '-->'
        : /^<!doctype\s+(?:\w+:)?svg\b/i.test(rest)
          ? '>'
          : null
    if (end === null) return /^<(?:[\w-]+:)?svg[\s/>]/.test(rest)
    // A document type may declare entities between brackets; the drawing's own check refuses them later.
    const from = end === '>' && /^[^>]*\[/.test(rest) ? rest.indexOf(']') : 0
    const at = from < 0 ? -1 : rest.indexOf(end, from)
    if (at < 0) return end === '>'
    rest = rest.slice(at + end.length).trimStart()
  }
}

/** Type by signature (PNG: ISO/IEC 15948 5.2; JPEG: ISO/IEC 10918-1 B.1; WebP: RFC 9649 2.4; TIFF 6.0 section 2), or null. */
export function pictureSniff(bytes: Uint8Array): PictureType | null {
  const head = latin(bytes, 16)
  if (head.startsWith('\x89PNG\r\n\x1a\n')) return 'PNG'
  if (head.startsWith('\xff\xd8\xff')) return 'JPEG'
  if (/^RIFF[\s\S]{4}WEBP/.test(head)) return 'WebP'
  if (/^(?:II[*+]\0|MM\0[*+])/.test(head)) return 'TIFF'
  return startsAsSvg(latin(bytes, 65_536)) ? 'SVG' : null
}

/** The name to give in an answer: the type, or what else the bytes look like. */
export function pictureFound(bytes: Uint8Array): string {
  const type = pictureSniff(bytes)
  if (type) return type
  const head = latin(bytes, 64)
  return OTHERS.find(([starts]) => starts(head))?.[1] ?? 'none of the kinds that are read'
}

/** What name and declared media type say, as far as they disagree with the bytes; null when they do not. */
export function pictureLie(type: PictureType, name: string, mediaType = ''): string | null {
  const extension = /\.([^./\\]{1,10})$/.exec(name)?.[1]?.toLowerCase()
  if (extension !== undefined && !TYPES[type].extensions.includes(extension)) return claimOfExtension(extension)
  const declared = (mediaType.split(';')[0] ?? '').trim().toLowerCase()
  if (!NO_CLAIM.has(declared) && !TYPES[type].mediaTypes.includes(declared)) return declared
  return null
}

function claimOfExtension(extension: string): string {
  const types = Object.entries(TYPES) as [PictureType, TypeFacts][]
  return types.find(([, facts]) => facts.extensions.includes(extension))?.[0] ?? `a .${extension} file`
}

/** What is claimed when the bytes are no picture at all. */
export function pictureClaim(name: string, mediaType = ''): string {
  const extension = /\.([^./\\]{1,10})$/.exec(name)?.[1]?.toLowerCase()
  if (extension !== undefined) return claimOfExtension(extension)
  return NO_CLAIM.has(mediaType) ? 'a picture' : mediaType
}
