import { crc32, deflateSync } from 'node:zlib'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { pictureCheck } from '../../lib/picture/picture.ts'
import { pictureSniff } from '../../lib/picture/picture-type.ts'
import { isRefusal, type Refusal } from '../../lib/refusal.ts'

/** A page with lines and specks, so that a cut file really lacks something. */
function page(width = 320, height = 200) {
  const pixels = Buffer.alloc(width * height * 3, 255)
  for (let at = 0; at < pixels.length; at++) if ((at * 2654435761) % 97 < 40) pixels[at] = (at * 31) % 251
  return sharp(pixels, { raw: { width, height, channels: 3 } })
}

async function refusalOf(run: Promise<unknown>): Promise<Refusal> {
  const error = await run.then(
    () => null,
    (thrown: unknown) => thrown,
  )
  if (!isRefusal(error)) throw error ?? new Error('nothing was refused')
  return error
}

function chunk(name: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(name, 'latin1'), data])
  const frame = Buffer.alloc(8 + body.length)
  frame.writeUInt32BE(data.length)
  body.copy(frame, 4)
  frame.writeUInt32BE(crc32(body), 4 + body.length)
  return frame
}

/** A PNG by the letter of ISO/IEC 15948, clause 11: header of the wished size, 8-bit grey, and the given rows. */
function pngOf(width: number, height: number, rows: Buffer): Buffer {
  const header = Buffer.alloc(13)
  header.writeUInt32BE(width, 0)
  header.writeUInt32BE(height, 4)
  header[8] = 8
  const signature = Buffer.from('89504e470d0a1a0a', 'hex')
  return Buffer.concat([
    signature,
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(rows)),
    chunk('IEND', Buffer.alloc(0)),
  ])
}

describe('a picture that is what it says', () => {
  it.each([
    ['page.png', 'image/png', () => page().png().toBuffer(), 'image/png', 'png'],
    ['page.JPG', 'image/jpeg', () => page().jpeg().toBuffer(), 'image/jpeg', 'jpg'],
    ['page.jpeg', undefined, () => page().jpeg().toBuffer(), 'image/jpeg', 'jpg'],
    ['page.webp', 'image/webp', () => page().webp().toBuffer(), 'image/webp', 'webp'],
    ['page.tif', 'image/tiff', () => page().tiff().toBuffer(), 'image/png', 'png'],
    ['scan', 'application/octet-stream', () => page().tiff({ compression: 'lzw' }).toBuffer(), 'image/png', 'png'],
  ])('%s is kept with its size', async (name, mediaType, make, keptAs, extension) => {
    const picture = await pictureCheck({ bytes: await make(), name, ...(mediaType ? { mediaType } : {}) })
    expect(picture).toMatchObject({ width: 320, height: 200, mediaType: keptAs, extension })
    expect(picture.id).toMatch(/^[0-9a-f]{64}$/)
    expect(`image/${pictureSniff(picture.bytes)?.toLowerCase()}`).toBe(keptAs)
  })

  it('keeps every dot of a PNG and of a TIFF', async () => {
    const before = await page().raw().toBuffer()
    for (const sent of [await page().png().toBuffer(), await page().tiff({ compression: 'deflate' }).toBuffer()]) {
      const kept = await pictureCheck({ bytes: sent, name: '' })
      expect((await sharp(kept.bytes).raw().toBuffer()).equals(before)).toBe(true)
    }
  })

  it('stands upright and forgets where it was taken', async () => {
    // Exif 2.32, 4.6.4: orientation 6 means the stored rows are turned a quarter; 8 the other way.
    const exif = { IFD0: { Copyright: 'Quillbeck Orchards', ImageDescription: 'long barn' } }
    const bytes = await page().withExif(exif).withMetadata({ orientation: 6 }).jpeg().toBuffer()
    const picture = await pictureCheck({ bytes, name: 'photo.jpg' })
    expect(picture).toMatchObject({ width: 200, height: 320 })
    const after = await sharp(picture.bytes).metadata()
    expect(after.exif).toBeUndefined()
    expect(after.orientation ?? 1).toBe(1)
    expect(Buffer.from(picture.bytes).includes('Quillbeck')).toBe(false)
  })

  it('is kept without what hangs behind its end', async () => {
    const bytes = Buffer.concat([await page().png().toBuffer(), Buffer.from('<script>alert(1)</script>')])
    const picture = await pictureCheck({ bytes, name: 'page.png' })
    expect(Buffer.from(picture.bytes).includes('script')).toBe(false)
  })

  it('is kept with its first page only', async () => {
    const frames = await Promise.all([page(60, 40), page(60, 40).negate()].map((one) => one.png().toBuffer()))
    const moving = await sharp(frames, { join: { animated: true } })
      .webp({ lossless: true })
      .toBuffer()
    expect((await sharp(moving).metadata()).pages).toBe(2)
    const picture = await pictureCheck({ bytes: moving, name: 'page.webp' })
    expect(picture).toMatchObject({ width: 60, height: 40 })
    expect((await sharp(picture.bytes).metadata()).pages ?? 1).toBe(1)
  })

  it('brought twice has one name', async () => {
    const bytes = await page().png().toBuffer()
    const [one, two] = [await pictureCheck({ bytes, name: 'a.png' }), await pictureCheck({ bytes, name: 'b.png' })]
    expect(one.id).toBe(two.id)
  })
})

describe('a picture that lies about what it is', () => {
  it.each([
    ['page.png', '', () => page().jpeg().toBuffer(), 'PNG', 'JPEG'],
    ['page.jpg', '', () => page().webp().toBuffer(), 'JPEG', 'WebP'],
    ['page.svg', '', () => page().png().toBuffer(), 'SVG', 'PNG'],
    ['page.png', 'image/jpeg', () => page().png().toBuffer(), 'image/jpeg', 'PNG'],
    ['page.png', 'text/html', () => page().png().toBuffer(), 'text/html', 'PNG'],
    ['page.png', '', () => Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>'), 'PNG', 'SVG'],
    ['page.png', '', () => Buffer.from('GIF89a________'), 'PNG', 'GIF'],
    ['page.png', '', () => Buffer.from('%PDF-1.7 ______'), 'PNG', 'PDF'],
    ['page.svg', '', () => Buffer.from('<!DOCTYPE html><svg onload=1>'), 'SVG', 'HTML'],
    ['page.exe', '', () => Buffer.from('MZ______________'), 'a .exe file', 'none of the kinds that are read'],
    ['page.gif', '', () => page().png().toBuffer(), 'a .gif file', 'PNG'],
  ])('%s sent as "%s" is refused', async (name, mediaType, make, claimed, found) => {
    const refusal = await refusalOf(pictureCheck({ bytes: await make(), name, mediaType }))
    expect(refusal.code).toBe('picture/wrong-type')
    expect(refusal.happened).toBe(`The picture says it is ${claimed}, but it is ${found}.`)
  })
})

describe('a picture that is not whole', () => {
  const kinds = {
    png: () => page().png(),
    jpg: () => page().jpeg(),
    webp: () => page().webp(),
    tif: () => page().tiff(),
  }
  const cuts = Object.keys(kinds).flatMap((kind) => [0.05, 0.3, 0.6, 0.9].map((share) => [kind, share] as const))
  it.each(cuts)('a %s cut off at %f of its length is refused', async (kind, share) => {
    const whole = await kinds[kind as keyof typeof kinds]().toBuffer()
    const bytes = whole.subarray(0, Math.floor(whole.length * share))
    const refusal = await refusalOf(pictureCheck({ bytes, name: `page.${kind}` }))
    expect(refusal.code).toBe('picture/broken')
    expect(refusal.happened.length).toBeLessThan(260)
  })

  it('an empty file is refused', async () => {
    expect((await refusalOf(pictureCheck({ bytes: new Uint8Array(), name: 'page.png' }))).code).toBe('picture/broken')
  })

  it('a PNG with a bent byte is refused', async () => {
    const bytes = await page().png().toBuffer()
    bytes[Math.floor(bytes.length / 2)]! ^= 0x55
    expect((await refusalOf(pictureCheck({ bytes, name: 'page.png' }))).code).toBe('picture/broken')
  })
})

describe('a picture that is too large', () => {
  it('51 megapixels are refused, a sheet of 6,000 x 8,000 is read', async () => {
    const blank = (width: number, height: number) => pngOf(width, height, Buffer.alloc((width + 1) * height))
    const refusal = await refusalOf(pictureCheck({ bytes: blank(8500, 6000), name: 'page.png' }))
    expect(refusal.code).toBe('picture/too-large')
    expect(refusal.happened).toBe('The picture has 51 megapixels; at most 50 are read.')
    expect(await pictureCheck({ bytes: blank(6000, 8000), name: 'page.png' })).toMatchObject({ width: 6000 })
  })

  it('a header that promises a gigapixel is refused before anything is unpacked', async () => {
    const start = performance.now()
    const refusal = await refusalOf(pictureCheck({ bytes: pngOf(60_000, 60_000, Buffer.alloc(9)), name: 'page.png' }))
    expect(refusal.code).toBe('picture/too-large')
    expect(performance.now() - start).toBeLessThan(1000)
  })

  it('a small header over rows that unpack to 200 MB costs no more than its size', async () => {
    const bytes = pngOf(16, 16, Buffer.alloc(200_000_000))
    expect(bytes.length).toBeLessThan(400_000)
    const before = process.memoryUsage().rss
    const outcome = await pictureCheck({ bytes, name: 'page.png' }).catch((error: unknown) => error)
    if (isRefusal(outcome)) expect(outcome.code).toBe('picture/broken')
    else expect(outcome).toMatchObject({ width: 16, height: 16 })
    expect(process.memoryUsage().rss - before).toBeLessThan(100_000_000)
  })

  it('a header that promises more rows than there are is refused', async () => {
    const refusal = await refusalOf(pictureCheck({ bytes: pngOf(6000, 6000, Buffer.alloc(60_010)), name: 'page.png' }))
    expect(refusal.code).toBe('picture/broken')
  })

  it('a picture without width is refused', async () => {
    const refusal = await refusalOf(pictureCheck({ bytes: pngOf(0, 10, Buffer.alloc(9)), name: 'page.png' }))
    expect(refusal.code).toBe('picture/broken')
  })

  it('more bytes than are read are refused unseen', async () => {
    const bytes = new Uint8Array(60_000_001)
    expect((await refusalOf(pictureCheck({ bytes, name: 'page.png' }))).code).toBe('picture/too-heavy')
  })
})
