import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { labelsRead } from '../../lib/db/label.ts'
import { scanResolve } from '../../lib/db/scan.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { code128Values } from '../../lib/label/code-128.ts'
import { gs1Read } from '../../lib/label/gs1-element.ts'
import { batchElements, gs1Printed, gs1Symbol } from '../../lib/label/gs1-write.ts'
import { LABEL_SYMBOLS, labelLayout } from '../../lib/label/label-layout.ts'
import { LABEL_SHEETS } from '../../lib/label/label-sheet.ts'
import { labelPdf, labelRuler } from '../../lib/picture/label-pdf.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { paperPages, symbolsRead } from '../support/label-read.ts'

useWorkshop()
// GTIN 09506000134352 is the example number of the GS1 General Specifications, from memory.
const GTIN = '09506000134352'
const PRINT = { from: 1, copies: 1, right: 0, down: 0 }
let [own, ofMaker, binId] = [0, 0, 0]
beforeAll(async () => {
  const keeper = await aPerson('Ida Marsh')
  binId = await aBin('A-03', 'Long barn')
  own = await aPart({ number: 'TX-7', description: 'Thread sealant' })
  ofMaker = await aPart({ number: 'TX-9', description: 'Grease' })
  await inTransaction(async (tx) => {
    const supplier = await tx.supplier.create({ data: { name: 'Hartwell', nameKey: 'hartwell', leadTimeDays: 5 } })
    await tx.offer.create({
      data: { supplierId: supplier.id, partId: ofMaker, supplierNumber: GTIN.slice(1), priceMinor: 317 },
    })
  })
  for (const [partId, batch] of [
    [own, 'L23'],
    [ofMaker, '88-4'],
    [own, 'Red drum by the door'],
  ] as const)
    await stockReceive(asWriter(keeper), { partId, binId, quantity: 2, batch, useBy: '2027-03-31' })
})

async function labels() {
  const { storeId } = await inTransaction((tx) => tx.bin.findUniqueOrThrow({ where: { id: binId } }))
  return labelsRead({ of: 'batch', ids: [], storeId, orderId: null })
}

describe('the label of a batch', () => {
  // A general-purpose reader (zxing) takes the symbol from the paper; what it says is looked up as any scan is.
  test.each(LABEL_SYMBOLS)('is read from the paper as part, last day and batch, %s', async (symbol) => {
    const sheet = LABEL_SHEETS.find((one) => one.width > 90)!
    const all = await labels()
    expect(all.map(({ lead, lines }) => [lead, lines[0]])).toEqual([
      ['TX-7', 'Batch L23'],
      ['TX-7', 'Batch Red drum by the door'],
      ['TX-9', 'Batch 88-4'],
    ])
    const pages = await paperPages(await labelPdf(all, { ...PRINT, sheet, symbol }), 8)
    const read = (await Promise.all(pages.map(({ canvas }) => symbolsRead(canvas)))).flat()
    const answers = await Promise.all(read.map(({ text }) => scanResolve(text, 'batch', 2026)))
    expect(answers.map(({ thing, batch }) => [thing?.id, batch?.code, batch?.useBy])).toEqual([
      [own, 'L23', '2027-03-31'],
      // Spaces do not go into the symbol: it is that of the part, and the batch stands in words.
      [own, undefined, undefined],
      [ofMaker, '88-4', '2027-03-31'],
    ])
    expect(pages.flatMap((page) => page.words).join(' ')).toContain('Batch Red drum by the door')
  })

  test('is the symbol of the part where its own would be too fine to be read', () => {
    const elements = batchElements(
      { number: 'DM60-1437', supplierNumbers: [] },
      { code: 'L2347', expiresOn: '2027-03-31' },
    )!
    const label = { kind: 'batch', code: 'CP786', gs1: elements, lead: 'DM60', lines: ['Batch L23'] } as const
    const measure = labelRuler()
    const feet = LABEL_SHEETS.map((sheet) => {
      const { module, words } = labelLayout({ ...label, lines: [...label.lines] }, sheet, 'code-128', measure)
      expect(module).toBeGreaterThanOrEqual(0.19)
      return words.some(({ text }) => text === 'CP786')
    })
    expect(new Set(feet)).toEqual(new Set([true, false]))
  })
})

describe('elements of a batch', () => {
  test('name the trade item where a supplier’s number is one, else our own number', () => {
    const batch = { code: '88-4', expiresOn: '2027-03-31' }
    expect(gs1Printed(batchElements({ number: 'TX-9', supplierNumbers: ['HW 1', GTIN.slice(1)] }, batch)!)).toBe(
      `(01)${GTIN}(17)270331(10)88-4`,
    )
    expect(gs1Printed(batchElements({ number: 'TX-9', supplierNumbers: ['9506000134353'] }, batch)!)).toBe(
      '(241)TX-9(17)270331(10)88-4',
    )
  })

  test('are none where a sign or a length does not go into a symbol, or nothing is known', () => {
    const part = { number: 'TX-9', supplierNumbers: [] }
    expect(batchElements(part, { code: 'L 23', expiresOn: null })).toBeNull()
    expect(batchElements(part, { code: 'L'.repeat(21), expiresOn: null })).toBeNull()
    expect(batchElements({ ...part, number: 'Ö-9' }, { code: 'L23', expiresOn: null })).toBeNull()
    expect(batchElements(part, { code: '', expiresOn: null })).toBeNull()
  })

  test('are read back as they were written, whatever the numbers', () => {
    const sign = fc.stringMatching(/^[A-Za-z0-9\-./+]{1,20}$/)
    const day = fc.date({ min: new Date('2000-01-01'), max: new Date('2060-12-31'), noInvalidDate: true })
    fc.assert(
      fc.property(sign, sign, day, (number, code, date) => {
        const expiresOn = date.toISOString().slice(0, 10)
        const elements = batchElements({ number, supplierNumbers: [] }, { code, expiresOn })!
        const read = gs1Read(gs1Symbol(elements), 2026)
        expect('elements' in read && read.elements.map(({ ai, value }) => [ai, value])).toEqual([
          ['241', number],
          ['17', expiresOn],
          ['10', code],
        ])
      }),
    )
  })

  test('begin with FNC1 behind the start symbol, which makes a Code 128 a GS1-128', () => {
    // ISO/IEC 15417: FNC1 is symbol value 102 in sets B and C; GS1 General Specifications, section 5.4.
    const values = code128Values(
      gs1Symbol([
        { ai: '241', value: 'TX-7' },
        { ai: '10', value: 'L23' },
      ]),
    )
    expect(values[1]).toBe(102)
    expect(values.filter((value, at) => at > 0 && at < values.length - 2 && value === 102)).toHaveLength(2)
  })
})
