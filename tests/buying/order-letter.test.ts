import { describe, expect, test } from 'vitest'
import { letterMailto, letterText, type OrderLetter } from '../../lib/buying/order-letter.ts'
import { orderPdf } from '../../lib/picture/order-pdf.ts'

const line = {
  number: 'TP-4410',
  supplierNumber: 'MFF/882',
  maker: 'Thornley & Pike',
  description: 'Return spring, 50 % longer',
  unit: 'each' as const,
  quantity: 4,
  priceMinor: 1250,
  costMinor: 5000,
  depositMinor: 650,
}
const letter: OrderLetter = {
  number: 1043,
  workshop: 'Quillbeck Orchards',
  day: '2026-11-02',
  dueOn: '2026-11-05',
  currency: 'GBP',
  note: 'Leave it at the gate',
  supplier: {
    name: 'Marlpit Farm Factors',
    contact: null,
    email: 'desk@marlpit.example',
    customerNumber: '7781',
  },
  carriageMinor: 850,
  taxThousandths: null,
  lines: [line],
}

describe('what a supplier is told', () => {
  test('in words: who, what, at which price, what it comes to, by when, and that a confirmation is asked for', () => {
    const text = letterText(letter)
    for (const said of [
      'Order: 1043',
      'Our customer number: 7781',
      'Expected by: 5 Nov 2026',
      '1. 4 of TP-4410 (your MFF/882)',
      '£12.50 each, £50.00',
      'Carriage: £8.50',
      'Deposits on exchange parts: £26.00',
      'Please confirm',
    ])
      expect(text).toContain(said)
  })

  test('with goods, carriage, tax and total apart once a rate is kept with the order; without one no tax is named', () => {
    // 50.00 and 8.50 are 58.50, 19 % of them 11.115; with 26.00 of deposits 95.62.
    const taxed = letterText({ ...letter, taxThousandths: 190 })
    for (const said of ['Goods, without tax: £50.00', 'Carriage: £8.50', 'Tax 19.0 %: £11.12', 'Total: £95.62'])
      expect(taxed).toContain(said)
    expect(letterText(letter)).toContain('Total: £84.50')
    expect(letterText(letter)).not.toMatch(/tax/i)
  })

  test('as a link: what the mail program reads back is the text, with CR LF at each end of a line (RFC 6068)', () => {
    const href = letterMailto(letter)
    // The examples of RFC 6068, section 6, write a percent sign as %25 and a line break as %0D%0A.
    expect(href).toContain('50%20%25%20longer')
    const [, query = ''] = href.split('?')
    const fields = Object.fromEntries(query.split('&').map((pair) => pair.split('=')))
    expect(href.split('?')[0]).toBe('mailto:desk@marlpit.example')
    expect(decodeURIComponent(fields.subject ?? '')).toBe('Order 1043, Quillbeck Orchards')
    expect(decodeURIComponent(fields.body ?? '')).toBe(letterText(letter).replaceAll('\n', '\r\n'))
  })

  test('a long order is too long for a link, which then asks to attach the sheet', () => {
    const long = { ...letter, lines: Array.from({ length: 60 }, () => line) }
    expect(letterMailto(long).length).toBeLessThan(500)
    expect(decodeURIComponent(letterMailto(long))).toContain('on the order sheet attached')
  })

  test('on paper: every line on its pages, each page saying which it is', async () => {
    const lines = Array.from({ length: 90 }, (_, at) => ({ ...line, number: `TP-${4000 + at}` }))
    const { getDocument } = await import('pdfjs-dist/legacy/build/pdf.mjs')
    const task = getDocument({ data: await orderPdf({ ...letter, lines, taxThousandths: 190 }), useSystemFonts: false })
    const document = await task.promise
    const pages: string[] = []
    for (let at = 1; at <= document.numPages; at++) {
      const { items } = await (await document.getPage(at)).getTextContent()
      pages.push(items.map((item) => ('str' in item ? item.str : '')).join(' '))
    }
    await task.destroy()
    expect(pages.length).toBeGreaterThan(1)
    expect(lines.filter(({ number }) => !pages.some((text) => text.includes(number)))).toEqual([])
    expect(pages.every((text, at) => text.includes(`page ${at + 1} of ${pages.length}`))).toBe(true)
    expect(pages[0]).toContain('Your number')
    expect(pages.at(-1)).toContain('Leave it at the gate')
    expect(pages.at(-1)).toMatch(/Goods, without tax.*Carriage.*Tax 19\.0 %.*Total/)
  })
})
