import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pageSourceClose, pageSourceFacts, pageSourcePage } from '../../lib/reading/page-source.ts'
import { sourceFound, sourceKind } from '../../lib/reading/source-kind.ts'
import { isRefusal, type Refusal } from '../../lib/refusal.ts'
import { madePdf, partsPage, ROWS, text } from './made-pdf.ts'

const folder = mkdtempSync(join(tmpdir(), 'cotterbook-source-'))
let scan: Buffer
let twoPages: Buffer
const drawing = Buffer.from(
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300"><circle cx="60" cy="60" r="20" fill="none" stroke="#000"/><path d="M80 60 L200 150" stroke="#000"/></svg>',
)

beforeAll(async () => {
  const dark = { create: { width: 60, height: 40, channels: 3, background: '#202020' } } as const
  scan = await sharp({ create: { width: 900, height: 600, channels: 3, background: '#f4f4f4' } })
    .composite([{ input: await sharp(dark).png().toBuffer(), left: 100, top: 50 }])
    .png()
    .toBuffer()
  const [first, second] = await Promise.all([scan, await sharp(scan).rotate(180).png().toBuffer()])
  twoPages = await sharp([first!, second!], { join: { animated: true } })
    .tiff({ compression: 'lzw' })
    .toBuffer()
})
afterAll(async () => {
  await pageSourceClose()
  rmSync(folder, { recursive: true, force: true })
})

function kept(name: string, bytes: Uint8Array): string {
  const path = join(folder, name)
  writeFileSync(path, bytes)
  return path
}

async function refusal(run: Promise<unknown>): Promise<Refusal> {
  const error = await run.then(
    () => null,
    (thrown: unknown) => thrown,
  )
  if (!isRefusal(error)) throw error ?? new Error('nothing was refused')
  expect(error.happened.length).toBeGreaterThan(10)
  expect(error.next).toMatch(/[A-Z].*\./)
  return error
}

describe('what a file holds', () => {
  it('is told from its content: a PDF named as a picture is a PDF, and a picture without a name is a picture', async () => {
    expect(await pageSourceFacts(kept('list.png', madePdf({ pages: [partsPage(), text(50, 50, 'x')] })))).toEqual({
      kind: 'pdf',
      pages: 2,
      name: 'list.png',
    })
    expect(await pageSourceFacts(kept('scan', scan))).toEqual({ kind: 'raster', pages: 1, name: 'scan' })
    expect(await pageSourceFacts(kept('drawing.txt', drawing))).toMatchObject({ kind: 'svg', pages: 1 })
    for (const type of ['jpeg', 'webp', 'tiff'] as const) {
      const bytes = await sharp(scan).toFormat(type).toBuffer()
      expect(await pageSourceFacts(kept(`scan.${type}`, bytes))).toMatchObject({ kind: 'raster', pages: 1 })
    }
  })

  it('is named when it holds no page: an archive, a web page and an empty file sent as a scan', async () => {
    const wrong = async (name: string, bytes: Uint8Array) => {
      const { code, happened } = await refusal(pageSourceFacts(kept(name, bytes)))
      return `${code}: ${happened}`
    }
    expect(await wrong('a.png', Buffer.from('PK\x03\x04 an archive'))).toBe(
      'page/wrong-type: a.png holds no page that can be read: it is a ZIP archive.',
    )
    expect(await wrong('b.png', Buffer.from('<!doctype html><p>Error 500'))).toContain('it is HTML')
    expect(await wrong('c.pdf', Buffer.alloc(0))).toContain('it is an empty file')
    expect(await wrong('d.tif', Buffer.from('BM and so on'))).toContain('it is BMP')
    expect((await refusal(pageSourceFacts(join(folder, 'none.pdf')))).code).toBe('page/no-file')
    expect((await refusal(pageSourceFacts(folder))).code).toBe('page/no-file')
  })

  it('of five hundred pages is opened, and its last page is read', async () => {
    const pages = Array.from({ length: 500 }, (_, at) => text(300, 300, `sheet ${at + 1}`))
    const path = kept('book.pdf', madePdf({ pages }))
    expect(await pageSourceFacts(path)).toEqual({ kind: 'pdf', pages: 500, name: 'book.pdf' })
    const last = await pageSourcePage(path, 500)
    expect(last.runs.map((run) => run.text).join(' ')).toContain('sheet 500')
    expect((await refusal(pageSourcePage(path, 501))).code).toBe('page/no-such-page')
  })

  it('is never guessed wrong and never crashes the teller, whatever the first bytes are (2,000 seeded mutations)', () => {
    const seeds = [scan, twoPages, drawing, madePdf({ pages: [partsPage()] })].map((one) => one.subarray(0, 3000))
    const change = fc.tuple(fc.nat(2999), fc.integer({ min: 0, max: 255 }))
    fc.assert(
      fc.property(
        fc.constantFrom(...seeds),
        fc.array(change, { maxLength: 12 }),
        fc.nat(3000),
        (seed, changes, cut) => {
          const bytes = Uint8Array.from(seed)
          for (const [at, value] of changes) if (at < bytes.length) bytes[at] = value
          const told = sourceKind(bytes.subarray(0, cut))
          const head = Buffer.from(bytes.subarray(0, cut)).toString('latin1')
          if (told?.kind === 'pdf') expect(head.slice(0, 1024)).toMatch(/%PDF-\d/)
          if (told?.kind === 'svg') expect(head).toContain('svg')
          if (told === null) expect(sourceFound(bytes.subarray(0, cut)).length).toBeGreaterThan(2)
        },
      ),
      { numRuns: 2000, seed: 20260115 },
    )
  })
})

describe('a page made ready', () => {
  it('comes upright: the orientation a camera noted is applied to size and picture alike', async () => {
    const turned = await sharp(scan).jpeg().withMetadata({ orientation: 6 }).toBuffer()
    const page = await pageSourcePage(kept('phone.jpg', turned), 1)
    expect([page.width, page.height]).toEqual([600, 900])
    // The dark mark near the upper left corner of the sensor is near the upper right one of the page.
    expect(page.grey.data[130 * page.grey.width + 530]).toBeLessThan(80)
    const picture = await sharp(await page.picture(300)).metadata()
    expect([picture.width, picture.height, picture.format]).toEqual([200, 300, 'png'])
  })

  it('is one of the pages of a TIFF, each read by its number, and there is no page beyond the last', async () => {
    const path = kept('two.tif', twoPages)
    expect(await pageSourceFacts(path)).toMatchObject({ pages: 2 })
    const dark = async (number: number) => {
      const { grey } = await pageSourcePage(path, number)
      return [grey.data[60 * grey.width + 120]! < 80, grey.data[540 * grey.width + 780]! < 80]
    }
    expect(await dark(1)).toEqual([true, false])
    expect(await dark(2)).toEqual([false, true])
    const beyond = await refusal(pageSourcePage(path, 3))
    expect([beyond.code, beyond.happened]).toEqual(['page/no-such-page', 'two.tif has no page 3; it has 2.'])
  })

  it('of a PDF carries its own text in pixels of its drawing at 200 dpi, and runs no script of the file', async () => {
    const action = '/OpenAction << /S /JavaScript /JS (app.launchURL\\("http:\\/\\/example.invalid\\/"\\)) >>'
    const page = await pageSourcePage(kept('list.pdf', madePdf({ pages: [partsPage()], catalogue: action })), 1)
    expect([page.width, page.height]).toEqual([2339, 1653])
    const run = page.runs.find(({ text: words }) => words === ROWS[2]!.description)!
    // Set at 225 pt from the left; the baseline of the fourth line is 324 pt above the lower edge of the sheet.
    expect(run.box[0]).toBeCloseTo((225 * 200) / 72, 0)
    expect(run.box[3]).toBeGreaterThan(((595 - 176) * 200) / 72)
    const [left, top, right, bottom] = run.box.map(Math.round) as [number, number, number, number]
    let ink = 0
    for (let y = top; y < bottom; y++) for (let x = left; x < right; x++) if (page.grey.data[y * 2339 + x]! < 128) ink++
    expect(ink).toBeGreaterThan(100)
  })

  it('of a large scan is read smaller, and the answer keeps the size of the scan', async () => {
    const large = await sharp({ create: { width: 6000, height: 4000, channels: 3, background: '#ffffff' } })
      .jpeg()
      .toBuffer()
    const page = await pageSourcePage(kept('large.jpg', large), 1)
    expect([page.width, page.height, page.grey.width, page.grey.height]).toEqual([6000, 4000, 3600, 2400])
  })

  it('of 200 megapixels is refused by its head, before a pixel is decoded', async () => {
    const head = Buffer.from(scan)
    head.writeUInt32BE(20_000, 16)
    head.writeUInt32BE(10_000, 20)
    const { crc32 } = await import('node:zlib')
    head.writeUInt32BE(crc32(head.subarray(12, 29)), 29)
    const refused = await refusal(pageSourcePage(kept('poster.png', head), 1))
    expect([refused.code, refused.happened]).toEqual([
      'page/too-large',
      'poster.png, page 1: 200 megapixels; at most 50 are read.',
    ])
  })

  it('that is damaged is refused with file and place; a locked PDF says that it needs its password', async () => {
    const cut = await refusal(pageSourcePage(kept('cut.png', scan.subarray(0, scan.length / 2)), 1))
    expect([cut.code, cut.happened]).toEqual(['page/broken', expect.stringContaining('cut.png, page 1: it cannot be')])
    const half = madePdf({ pages: [partsPage()] }).subarray(0, 600)
    expect((await refusal(pageSourceFacts(kept('half.pdf', half)))).code).toBe('page/broken')
    const key = '12345678901234567890123456789012'
    const trailer = `/ID [<00><00>] /Encrypt << /Filter /Standard /V 1 /R 2 /O (${key}) /U (${key}) /P -44 >>`
    const locked = await refusal(pageSourceFacts(kept('locked.pdf', madePdf({ pages: [partsPage()], trailer }))))
    expect([locked.code, locked.next]).toEqual(['page/locked', expect.stringContaining('without one')])
  })

  it('of a drawing that would load from elsewhere is refused as unsafe', async () => {
    const hostile = drawing.toString().replace('</svg>', '<image href="http://example.invalid/x.png"/></svg>')
    expect((await refusal(pageSourcePage(kept('hostile.svg', Buffer.from(hostile)), 1))).code).toBe('picture/unsafe')
    const page = await pageSourcePage(kept('plain.svg', drawing), 1)
    expect([page.width, page.height]).toEqual([1600, 1200])
  })

  it('that was mutated is made ready or refused, and nothing else (120 seeded mutations of five kinds of file)', async () => {
    const seeds = [
      scan,
      twoPages,
      await sharp(scan).jpeg().toBuffer(),
      drawing,
      madePdf({ pages: [text(300, 300, 'x')] }),
    ]
    const change = fc.tuple(fc.double({ min: 0, max: 0.999, noNaN: true }), fc.integer({ min: 0, max: 255 }))
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...seeds),
        fc.array(change, { minLength: 1, maxLength: 8 }),
        fc.double({ min: 0.3, max: 1, noNaN: true }),
        async (seed, changes, share) => {
          const bytes = Buffer.from(seed.subarray(0, Math.ceil(seed.length * share)))
          for (const [at, value] of changes) bytes[Math.floor(at * bytes.length)] = value
          const path = kept('mutated', bytes)
          try {
            const page = await pageSourcePage(path, 1)
            expect(page.grey.data.length).toBe(page.grey.width * page.grey.height)
          } catch (error) {
            if (!isRefusal(error)) throw error
          }
        },
      ),
      { numRuns: 120, seed: 7 },
    )
  }, 120_000)
})
