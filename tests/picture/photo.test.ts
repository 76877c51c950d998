import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { PHOTO_MEGABYTES_MAX, photoCheck } from '../../lib/picture/photo.ts'

const shot = (width: number, height: number) => sharp({ create: { width, height, channels: 3, background: '#7a6a55' } })

/** Exif 2.32, 4.6.6: the GPS attribute information, here 51 degrees 28 minutes north. */
const GPS = { IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '51/1 28/1 0/1', GPSLongitudeRef: 'W' } }

describe('a photo from the bench', () => {
  it('keeps no place, no camera and no time, and stands upright', async () => {
    // Exif 2.32, 4.6.4: orientation 6 means the stored rows are turned a quarter.
    const bytes = await shot(320, 200)
      .withExif({ ...GPS, IFD0: { Make: 'Penhale Optics' } })
      .withMetadata({ orientation: 6 })
      .jpeg()
      .toBuffer()
    const sent = await sharp(bytes).metadata()
    // The GPS pointer tag 8825 (Exif 2.32, 4.6.3) stands in what is sent; otherwise this would prove nothing.
    expect(sent.exif?.includes(Buffer.from('2588', 'hex')) || sent.exif?.includes(Buffer.from('8825', 'hex'))).toBe(
      true,
    )
    const photo = await photoCheck({ bytes, name: 'DSC_01.jpg', mediaType: 'image/jpeg' })
    expect(photo).toMatchObject({ width: 200, height: 320, mediaType: 'image/jpeg', extension: 'jpg' })
    const kept = await sharp(photo.bytes).metadata()
    expect([kept.exif, kept.xmp, kept.iptc]).toEqual([undefined, undefined, undefined])
    expect(Buffer.from(photo.bytes).includes('Exif')).toBe(false)
    expect(Buffer.from(photo.bytes).includes('Penhale')).toBe(false)
  })

  it.each([
    [4000, 3000, 1600, 1200],
    [1200, 3200, 600, 1600],
    [1600, 900, 1600, 900],
    [800, 500, 800, 500],
  ])('of %i x %i is kept as %i x %i', async (width, height, keptWidth, keptHeight) => {
    const bytes = await shot(width, height).png().toBuffer()
    const photo = await photoCheck({ bytes, name: 'shoe.png', mediaType: 'image/png' })
    expect([photo.width, photo.height]).toEqual([keptWidth, keptHeight])
  })

  it('taken twice from the same file has the same name', async () => {
    const bytes = await shot(1800, 600).jpeg().toBuffer()
    const [first, second] = [await photoCheck({ bytes, name: 'a.jpg' }), await photoCheck({ bytes, name: 'b.jpg' })]
    expect(second.id).toBe(first.id)
  })

  it.each([
    [
      'a drawing',
      'plan.svg',
      Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="4" height="4"/>'),
      'photo/wrong-type',
    ],
    ['a PDF', 'sheet.pdf', Buffer.from('%PDF-1.7 ...'), 'photo/wrong-type'],
    ['HEIC', 'IMG_7.heic', Buffer.from('0000ftypheic0000'), 'photo/wrong-type'],
    ['nothing', 'empty.jpg', Buffer.alloc(0), 'picture/broken'],
    ['half a JPEG', 'cut.jpg', Buffer.from('ffd8ffe000104a464946', 'hex'), 'picture/broken'],
    ['too heavy', 'big.jpg', Buffer.alloc(PHOTO_MEGABYTES_MAX * 1e6 + 1), 'picture/too-heavy'],
  ])('%s is refused', async (_, name, bytes, code) => {
    await expect(photoCheck({ bytes, name })).rejects.toMatchObject({ code })
  })
})
