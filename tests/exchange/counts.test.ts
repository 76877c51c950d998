import fc from 'fast-check'
import { beforeAll, describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { type ExchangeInput, exchangeImport, exchangeRehearse } from '../../lib/db/exchange.ts'
import { countSheetRows } from '../../lib/db/exchange-counts.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { countsVerify } from '../../lib/db/verify-counts.ts'
import { tableBytes } from '../../lib/exchange/write.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { checkDigits, sheetLineRead, sheetLineWrite } from '../../lib/stock/sheet-line.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { bytes, collected } from './files.ts'

useWorkshop()

let nell: string
beforeAll(async () => {
  nell = await aPerson('Nell Arkwood')
})

const input = (text: string): ExchangeInput => ({ kind: 'counts', bytes: bytes(text), file: 'counted.csv' })
const rehearse = async (text: string) => exchangeRehearse(asWriter(nell), input(text))
const bring = async (text: string) => exchangeImport(asWriter(nell), input(text))
async function refusals(text: string) {
  return (await rehearse(text)).refusals.map(({ row, column, reason }) => `${row} ${column}: ${reason}`)
}

/** A store of its own with one bin and so many pieces of each part. */
async function shelf(store: string, ...quantities: number[]) {
  const binId = await aBin(`${store}-1`, store)
  const parts: number[] = []
  for (const quantity of quantities) {
    const partId = await aPart({ costMinor: 100 })
    await stockReceive(asWriter(nell), { partId, binId, quantity })
    parts.push(partId)
  }
  const { storeId } = await database().bin.findUniqueOrThrow({ where: { id: binId } })
  const sheet: { line: string; number: string }[] = []
  for await (const row of countSheetRows(storeId)) sheet.push(row as { line: string; number: string })
  return { binId, parts, storeId, lines: sheet.map(({ line }) => line) }
}
const onHand = async (partId: number, binId: number) =>
  (await database().balance.findUniqueOrThrow({ where: { partId_binId: { partId, binId } } })).quantity

describe('ids of lines', () => {
  // ISO/IEC 7064, MOD 97-10: the number with its check digits leaves 1 over 97. 794 and 44 is its example, from memory.
  it('carry the check digits of ISO/IEC 7064, MOD 97-10', () => {
    expect(checkDigits('794')).toBe('44')
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 999_999_999 }), (number) => {
        expect(BigInt(`${number}${checkDigits(String(number))}`) % 97n).toBe(1n)
      }),
      { seed: 20260301 },
    )
  })

  it('come back as they went out, and with one wrong digit they are none', () => {
    const place = fc.record({
      binId: fc.nat(9999),
      partId: fc.nat(99_999),
      asOf: fc.nat(9_999_999),
      lastCount: fc.nat(999),
    })
    fc.assert(
      fc.property(place, fc.nat(40), fc.integer({ min: 1, max: 9 }), (line, at, more) => {
        const id = sheetLineWrite(line)
        expect(sheetLineRead(id.toLowerCase())).toEqual(line)
        const place = at % id.length
        const digit = Number(id[place])
        if (Number.isNaN(digit)) return
        const wrong = `${id.slice(0, place)}${(digit + more) % 10}${id.slice(place + 1)}`
        expect(sheetLineRead(wrong)).toBeNull()
      }),
      { seed: 20260302 },
    )
  })
})

describe('a count sheet as a file', () => {
  it('goes out blind, in walking order, a store by itself', async () => {
    const { storeId, lines } = await shelf('Out barn', 17, 23)
    const text = new TextDecoder().decode(await collected(tableBytes('counts', 'csv', countSheetRows(storeId))))
    expect(text.split('\r\n').filter((line) => line.includes('Out barn'))).toHaveLength(2)
    for (const line of lines) expect(text).toContain(line)
    // No quantity of the books stands anywhere in it.
    expect(text).not.toMatch(/[;,](17|23)[;,\r]/)
  })

  it('comes back: what agrees is kept, what differs is put right or asked for again, an empty line is left alone', async () => {
    const { binId, parts, lines } = await shelf('Back barn', 40, 50, 60, 70, 80)
    const file = `line;counted;reason;words\n${lines[0]};40;;\n${lines[1]};48;broken;\n${lines[2]};20;lost;\n${lines[3]};69;;\n${lines[4]};;;\n`
    const expected = {
      counts: { new: 1, changed: 3, same: 1 },
      made: { 'counts put right': 1, 'lines to count again': 1, 'lines to say why': 1 },
    }
    expect(await rehearse(file)).toMatchObject({ ...expected, refusals: [] })
    expect(await database().countLine.count({ where: { binId } })).toBe(0)
    expect(await bring(file)).toMatchObject(expected)
    expect(await Promise.all(parts.map((partId) => onHand(partId, binId)))).toEqual([40, 48, 60, 70, 80])
    expect(await database().countLine.findMany({ where: { binId }, orderBy: { id: 'asc' } })).toMatchObject([
      { state: 'right', counted: 40 },
      { state: 'booked', counted: 48, reasonCode: 'broken' },
      { state: 'recount', counted: 20 },
      { state: 'reason', counted: 69 },
    ])
    expect(await countsVerify()).toEqual([])
    // The same file once more finds everything as it is; another count on a line that came in is refused.
    expect(await bring(file)).toMatchObject({ counts: { new: 0, changed: 0, same: 5 } })
    expect(await database().countLine.count({ where: { binId } })).toBe(4)
    expect(await refusals(`line;counted\n${lines[0]};41\n`)).toEqual([
      expect.stringMatching(/^2 counted: came in before as 40 by Nell Arkwood on /),
    ])
  })

  it('a large difference counted again on a new sheet is booked, and one worth more than the limit waits', async () => {
    const { binId, parts, storeId, lines } = await shelf('Twice barn', 60, 900)
    await bring(`line;counted;reason\n${lines[0]};20;lost\n${lines[1]};400;lost\n`)
    const again: string[] = []
    for await (const { line } of countSheetRows(storeId)) again.push(line!)
    // Nothing moved in between, and still they are other lines: a second count is not the first one come in twice.
    expect(again.some((line) => lines.includes(line))).toBe(false)
    expect(await bring(`line;counted;reason\n${again[0]};20;lost\n${again[1]};400;lost\n`)).toMatchObject({
      made: { 'counts put right': 1, 'differences waiting for approval': 1 },
    })
    expect(await Promise.all(parts.map((partId) => onHand(partId, binId)))).toEqual([20, 900])
    expect(await countsVerify()).toEqual([])
  })

  it('asks what moved since it was made: counted before, or after', async () => {
    const { binId, parts, lines } = await shelf('Move barn', 90, 90)
    for (const partId of parts) await stockIssue(asWriter(nell), { partId, binId, quantity: 5, reason: 'yard' })
    expect(await refusals(`line;counted\n${lines[0]};90\n${lines[1]};85\n`)).toEqual([
      expect.stringMatching(/^2 moved: must be before or after: since the sheet was made .* Taken 5, Nell Arkwood$/),
      expect.stringMatching(/^3 moved: /),
    ])
    const done = await bring(`line;counted;moved\n${lines[0]};90;before\n${lines[1]};85;after\n`)
    expect(done).toMatchObject({ counts: { new: 2, changed: 0 } })
    expect(await Promise.all(parts.map((partId) => onHand(partId, binId)))).toEqual([85, 85])
    expect(await countsVerify()).toEqual([])
  })

  it('is refused row by row, with column and reason, and as a whole', async () => {
    const { binId, parts, lines } = await shelf('Fault barn', 5, 6, 7)
    await stockIssue(asWriter(nell), { partId: parts[2]!, binId, quantity: 6, reason: 'yard' })
    const wrong = `${lines[0]!.slice(0, -1)}${(Number(lines[0]!.at(-1)) + 1) % 10}`
    const later = sheetLineWrite({ binId, partId: parts[0]!, asOf: 9_999_999, lastCount: 0 })
    const file = `line,counted,unit,moved,reason\n${wrong},5,,,\n${later},5,,,\n${lines[0]},1.5,,,\n${lines[1]},6,litre,,\n${lines[1]},6,,,\n${lines[2]},2,,before,\n${lines[0]},5,,,because\n`
    expect(await refusals(file)).toEqual([
      expect.stringMatching(/^2 line: .* is no line of a sheet of this workshop/),
      expect.stringMatching(/^3 line: .* is no line of a sheet of this workshop/),
      expect.stringMatching(/^4 counted: /),
      expect.stringMatching(/^5 unit: is litre, but the part is kept by each/),
      expect.stringMatching(/^6 : names the same part in the same bin as row 5/),
      expect.stringMatching(/^7 counted: is less than was taken since/),
      expect.stringMatching(/^8 reason: "because" must be one of not-booked, /),
    ])
    const refused = await bring(file).catch((error: unknown) => error)
    expect(isRefusal(refused) && refused.code).toBe('exchange/refused')
    expect(await database().countLine.count({ where: { binId } })).toBe(0)
  })
})
