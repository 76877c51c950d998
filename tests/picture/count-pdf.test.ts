import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs'
import { expect, test } from 'vitest'
import { countPdf } from '../../lib/picture/count-pdf.ts'

// Read back by pdfjs-dist, which knows nothing of how the file was written.

const row = (at: number, store: string) => ({
  line: `C${at}-${2000 + at}-31415-0-77`,
  store,
  bin: `A-${at}`,
  number: `DM60-${1000 + at}`,
  description: `Spring of the ${at}th shoe`,
  batches: at === 3 ? 'L23, use by 2027-03-31' : '',
  unit: at % 2 === 0 ? 'each' : 'litre',
})

async function pagesOf(bytes: Uint8Array): Promise<string[]> {
  const task = getDocument({ data: bytes, verbosity: 0 })
  const pdf = await task.promise
  const pages: string[] = []
  for (let at = 1; at <= pdf.numPages; at++) {
    const { items } = await (await pdf.getPage(at)).getTextContent()
    pages.push(items.map((item) => ('str' in item ? item.str : '')).join(' '))
  }
  await task.destroy()
  return pages
}

test('a count sheet for paper has every line once, with its id, under its store, and says which page of how many', async () => {
  const rows = [
    ...Array.from({ length: 50 }, (_, at) => row(at, 'Long barn')),
    ...Array.from({ length: 3 }, (_, at) => row(60 + at, 'Van one')),
  ]
  const head = { title: 'Count sheet, all stores', about: 'Count without looking at the books.', printed: '3 Nov 2026' }
  const pages = await pagesOf(await countPdf(head, rows))
  expect(pages.length).toBeGreaterThan(1)
  const text = pages.join(' ').replace(/\s+/g, ' ')
  for (const { line, number, description } of rows)
    for (const words of [line, number, description]) expect(text.split(words)).toHaveLength(2)
  expect(text.split('shoe; L23, use by 2027-03-31')).toHaveLength(2)
  for (const [at, page] of pages.entries()) {
    expect(page.replace(/\s+/g, ' ')).toContain(`printed 3 Nov 2026, page ${at + 1} of ${pages.length}`)
    // Whoever holds one page of it knows in which store it is.
    expect(page).toMatch(/Long barn|Van one/)
  }
})
