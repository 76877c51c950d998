import { getDocument, OPS } from 'pdfjs-dist/legacy/build/pdf.mjs'
import { expect, test } from 'vitest'
import { bookSheet } from '../../lib/job/book-sheet.ts'
import type { EntryContent } from '../../lib/job/service-book.ts'
import { bookPdf } from '../../lib/picture/book-pdf.ts'

// Read back by pdfjs-dist, which knows nothing of how the file was written.

const HEAD = {
  title: 'Service book of T-07 Tipping trailer',
  about: ['Dunmarrow T6, S/N 2249'],
  foot: 'Service book of T-07 Tipping trailer',
  printed: '3 Nov 2026',
}

function content(more: Partial<EntryContent>): EntryContent {
  return {
    version: 1,
    machine: { fleetNumber: 'T-07', name: 'Tipping trailer', model: 'Dunmarrow T6', serialNumber: '2249' },
    job: { number: 12, kind: 'repair', openedAt: '2026-02-01T08:00:00Z', openedBy: 'Jory Penhale' },
    complaint: 'brake binds',
    cause: '',
    correction: 'shoes renewed',
    labourMinutes: 90,
    fitted: [],
    acts: [],
    declined: [],
    tests: [],
    partsCostMinor: 0,
    currency: 'GBP',
    ...more,
  }
}

const line = (at: number) => ({
  partNumber: `DM60-${1000 + at}`,
  maker: 'Dunmarrow',
  description: `Spring, hold-down, of the ${at}th shoe`,
  figure: '5-04 Hub and drum brake',
  item: String(at),
  positions: ['LH'],
  quantity: at,
  unit: 'each',
  costMinor: 100 * at + 7,
})
const entry = (day: string, person: string, of: EntryContent) => ({
  writtenAt: new Date(`${day}T10:00:00Z`),
  person,
  hourTenths: 12345,
  content: of,
})

interface Read {
  pages: { text: string; width: number; height: number; images: number; fonts: number }[]
  title: unknown
}

async function read(bytes: Uint8Array): Promise<Read> {
  const task = getDocument({ data: bytes, verbosity: 0 })
  const pdf = await task.promise
  const pages = []
  for (let number = 1; number <= pdf.numPages; number++) {
    const page = await pdf.getPage(number)
    const { items, styles } = await page.getTextContent()
    const { fnArray } = await page.getOperatorList()
    const [, , width, height] = page.view
    pages.push({
      // A letter that two signs share is read back as either: micro and mu are one by Unicode's compatibility forms.
      text: items
        .map((item) => ('str' in item ? item.str : ''))
        .join(' ')
        .normalize('NFKC')
        .replace(/\s+/g, ' '),
      width: width!,
      height: height!,
      images: fnArray.filter((operator) => operator === OPS.paintImageXObject).length,
      fonts: Object.keys(styles).length,
    })
  }
  const { info } = await pdf.getMetadata()
  await task.destroy()
  return { pages, title: (info as { Title?: string }).Title }
}

/** Each of these is there, behind the one before. */
function expectInOrder(text: string, wanted: readonly string[]): void {
  let from = 0
  for (const one of wanted) {
    const at = text.indexOf(one, from)
    expect(at, `"${one}" behind the one before`).toBeGreaterThanOrEqual(0)
    from = at + one.length
  }
}

test('every part number stands with quantity and cost, every correction under its entry, in the order of the book', async () => {
  const fitted = Array.from({ length: 60 }, (_, at) => line(at + 1))
  const first = entry('2026-03-02', 'Owen Tarrant', content({ fitted, partsCostMinor: 183_420 }))
  const second = entry('2026-02-01', 'Nell Farrow', content({ fitted: [line(99)], complaint: 'grinds' }))
  const put = (day: string, text: string) => entry(day, 'Wilf Tamsett', content({ job: null, correction: text }))
  const pdf = await read(
    await bookPdf(HEAD, [
      bookSheet(first, [
        put('2026-03-09', 'the seal too was renewed'),
        put('2026-03-05', 'the left side, not the right'),
      ]),
      bookSheet(second, []),
    ]),
  )
  const text = pdf.pages.map((page) => page.text).join(' ')
  expectInOrder(text, [
    ...fitted.flatMap((one) => [
      one.partNumber,
      one.description,
      `${one.quantity} £${(one.costMinor / 100).toFixed(2)}`,
    ]),
    '£1,834.20',
    'Corrected 5 Mar 2026',
    'the left side, not the right',
    'Corrected 9 Mar 2026',
    'the seal too was renewed',
    'grinds',
    'DM60-1099',
  ])
  expect(pdf.title).toBe(HEAD.title)
  // Sixty rows go over the page: each page has the head of the table again, its number, and the size of A4 (ISO 216).
  expect(pdf.pages.length).toBeGreaterThan(2)
  for (const [at, page] of pdf.pages.entries()) {
    expect(page.text).toContain(`printed 3 Nov 2026, page ${at + 1} of ${pdf.pages.length}`)
    expect(page.text).toContain('Item Part number Description Quantity Cost')
    expect([Math.round(page.width), Math.round(page.height)]).toEqual([595, 842])
    // Letters, no picture of letters.
    expect(page.images).toBe(0)
    expect(page.fonts).toBeGreaterThan(0)
  }
})

test('what the entry says is on paper as it was written: hours, tests, what was left out and why', async () => {
  const told = content({
    cause: 'seal hard',
    meter: [{ hourTenths: 120, reason: 'new meter' }],
    acts: ['Wheels chocked, rated stands'],
    notFitted: [{ description: 'Eye protection', strength: 'must', wanted: 2, taken: 1, unit: 'each' }],
    notFittedReason: 'own glasses',
    declined: [{ description: 'Oil seal', strength: 'should', reason: 'dry' }],
    tests: [{ text: 'Hub turns freely', state: 'not-applicable', note: 'yard under water', by: 'Owen Tarrant' }],
    afterRun: [{ text: 'Wheel nuts again', state: 'open', by: null }],
  })
  const { pages } = await read(await bookPdf(HEAD, [bookSheet(entry('2026-03-02', 'Owen Tarrant', told), [])]))
  expectInOrder(pages[0]!.text, [
    'Job 12, repair',
    '2 Mar 2026 at 1,234.5 h, written by Owen Tarrant',
    'T-07 Tipping trailer, Dunmarrow T6, S/N 2249',
    'Complaint brake binds',
    'Cause seal hard',
    'Correction shoes renewed',
    'Hour meter 12.0 h: new meter',
    'Labour 90 min',
    'does not apply: Hub turns freely, yard under water (Owen Tarrant)',
    'open: Wheel nuts again',
    'Wheels chocked, rated stands',
    'Eye protection (must): 1 of 2',
    'Why: own glasses',
    'Oil seal (should): dry',
  ])
})

test('signs of the trade and of names come through; what the letters lack is shown as missing and breaks nothing', async () => {
  const correction = 'Shimmed 5 µm ± ½, 40 °C, Ø 12 × 3, café, Łódź, “fit” – office filter waffle'
  const odd = content({ correction, cause: '漢字 🔧 عربي\u0007\nsecond line', complaint: 'x'.repeat(900) })
  const { pages } = await read(
    await bookPdf({ ...HEAD, title: '=漢' }, [bookSheet(entry('2026-03-02', 'Zoë Ångström', odd), [])]),
  )
  const { text } = pages[0]!
  expect(text).toContain(correction.normalize('NFKC').split(' waffle')[0])
  expect(text).toContain('written by Zoë Ångström')
  expect(text).toContain('□□ □')
  expect(text).toContain('second line')
  // One word wider than the page goes on in the next line, whole.
  expect(text.replace(/[^x]/g, '').length).toBeGreaterThanOrEqual(900)
})

test('an entry longer than a page, and a book without entries, are pages all the same', async () => {
  const long = content({
    complaint: Array.from({ length: 400 }, (_, at) => `word${at}`).join(' '),
    correction: Array.from({ length: 900 }, (_, at) => `said${at}`).join(' '),
    fitted: [{ ...line(1), description: Array.from({ length: 700 }, (_, at) => `part${at}`).join(' ') }],
  })
  const { pages } = await read(await bookPdf(HEAD, [bookSheet(entry('2026-03-02', 'Owen Tarrant', long), [])]))
  const text = pages.map((page) => page.text).join(' ')
  expectInOrder(text, ['word0', 'word399', 'said0', 'said899', 'part0', 'part350', 'part699'])
  expect((await read(await bookPdf(HEAD, []))).pages).toHaveLength(1)
})
