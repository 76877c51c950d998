import fc from 'fast-check'
import { describe, it } from 'vitest'
import { tableCheck } from '../../lib/exchange/check.ts'
import { KIND_NAMES, type Kind } from '../../lib/exchange/columns.ts'
import { tableRows } from '../../lib/exchange/read.ts'
import { s1000dRead } from '../../lib/exchange/s1000d.ts'
import { s1000dFigure } from '../../lib/exchange/s1000d-figure.ts'
import { svgHotspots } from '../../lib/exchange/svg-hotspots.ts'
import { figureFileCheck } from '../../lib/figure/figure-file.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { DRAWING, dataModule } from './data-module.ts'
import { bytes, utf16, xlsxOf } from './files.ts'

/**
 * Whatever the bytes are, reading them ends, in rows or in a refusal that a person can act on. The seeds are fixed, so that a
 * failure comes again; fast-check prints the smallest case.
 */
async function read(file: Uint8Array, kind: Kind): Promise<void> {
  try {
    const checked = await tableCheck(kind, () => tableRows(file, 'fuzz'), {}, 'fuzz')
    const known = new Set([...checked.rows, ...checked.refusals].map(({ row }) => row))
    let header = true
    for await (const { row } of tableRows(file, 'fuzz')) {
      if (!header && !known.has(row)) throw new Error(`row ${row} is neither read nor refused`)
      header = false
    }
  } catch (error) {
    if (!isRefusal(error)) throw error
  }
}

const kinds = fc.constantFrom(...KIND_NAMES)

interface Change {
  at: number
  take: number
  put: number[]
}
/** Bytes that mean something to one of the readers come up more often than chance would have them. */
const byte = fc.oneof(
  fc.constantFrom(0, 9, 10, 13, 34, 39, 44, 59, 60, 61, 62, 38, 91, 93, 123, 125, 92, 0xff, 0xfe, 0xef),
  fc.nat(255),
)
const changes: fc.Arbitrary<Change[]> = fc.array(
  fc.record({ at: fc.nat(20_000), take: fc.nat(12), put: fc.array(byte, { maxLength: 12 }) }),
  { minLength: 1, maxLength: 6 },
)

function changed(file: Uint8Array, edits: readonly Change[]): Uint8Array {
  const list = [...file]
  for (const { at, take, put } of edits) list.splice(at % (list.length + 1), take, ...put)
  return Uint8Array.from(list)
}

const CSV =
  'maker;number;description;cost;unit;min;max\r\nOakmoor;AB-1;"Ball; ""big""";12,50;ea;2;5\r\nBöhm;AB-2;O-ring;1,5;ltr;1;2\r\n'

describe('hostile files', () => {
  it('changed CSV, in every encoding, is read or refused', async () => {
    const bases = [bytes(CSV), bytes(`\ufeff${CSV}`), utf16(CSV, 'le'), utf16(CSV, 'be'), utf16(CSV, 'le', false)]
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(...bases), changes, kinds, (base, edits, kind) =>
        read(changed(base, edits), kind),
      ),
      { numRuns: 3000, seed: 4107 },
    )
  })

  it('any text and any bytes are read or refused', async () => {
    const cell = fc.oneof(
      fc.string({ unit: 'binary' }),
      fc.constantFrom('maker', 'number', '"', '""', '=1', "'", '1,5', '1.500', '\n', ';', ','),
    )
    const text = fc
      .array(fc.array(cell, { maxLength: 5 }), { maxLength: 5 })
      .map((rows) => rows.map((row) => row.join(';')).join('\n'))
    const any = fc.oneof(text.map(bytes), fc.uint8Array({ maxLength: 400 }))
    await fc.assert(fc.asyncProperty(any, kinds, read), { numRuns: 1500, seed: 4108 })
  })

  it('changed JSON, and JSON of any shape, is read or refused', async () => {
    const base = bytes(
      JSON.stringify([
        { maker: 'Oakmoor', number: 'AB-1', cost: 12.5, description: null, preferred: true },
        { number: 7 },
      ]),
    )
    const list = fc.array(
      fc.dictionary(fc.oneof(fc.constantFrom('maker', 'number', '__proto__'), fc.string()), fc.jsonValue()),
      { maxLength: 4 },
    )
    const any = fc.oneof(
      changes.map((edits) => changed(base, edits)),
      list.map((value) => bytes(JSON.stringify(value))),
      fc.json().map(bytes),
    )
    await fc.assert(fc.asyncProperty(any, kinds, read), { numRuns: 2500, seed: 4109 })
  })

  it('a changed archive, and a changed sheet in a whole archive, is read or refused', async () => {
    const sheet =
      '<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="inlineStr"><is><t>number</t></is></c></row><row r="2"><c r="A2" s="1"><v>43832</v></c><c r="B2" t="b"><v>1</v></c></row>'
    const more = {
      'xl/sharedStrings.xml': '<sst><si><t>maker</t></si><si><r><t>a</t></r></si></sst>',
      'xl/styles.xml':
        '<styleSheet><numFmts><numFmt numFmtId="164" formatCode="yyyy"/></numFmts><cellXfs><xf numFmtId="0"/><xf numFmtId="164"/></cellXfs></styleSheet>',
    }
    const whole = await xlsxOf(sheet, more)
    const decode = (edits: Change[], text: string) => new TextDecoder().decode(changed(bytes(text), edits))
    const inside = fc.tuple(changes, fc.constantFrom('sheet', ...Object.keys(more)))
    await fc.assert(
      fc.asyncProperty(changes, kinds, (edits, kind) => read(changed(whole, edits), kind)),
      { numRuns: 1200, seed: 4110 },
    )
    await fc.assert(
      fc.asyncProperty(inside, kinds, async ([edits, part], kind) => {
        const parts = Object.fromEntries(
          Object.entries(more).map(([name, text]) => [name, name === part ? decode(edits, text) : text]),
        )
        await read(await xlsxOf(part === 'sheet' ? decode(edits, sheet) : sheet, parts), kind)
      }),
      { numRuns: 600, seed: 4111 },
    )
  })

  it('a changed data module and a changed drawing are read or refused', () => {
    const [module, drawing] = [bytes(dataModule()), bytes(DRAWING)]
    const text = (file: Uint8Array) => new TextDecoder().decode(file)
    const refusedOrRead = (run: () => void) => {
      try {
        run()
      } catch (error) {
        if (!isRefusal(error)) throw error
      }
    }
    fc.assert(
      fc.property(changes, (edits) =>
        refusedOrRead(() => {
          const picture = { file: 'a.svg', width: 400, height: 300 }
          const { file } = s1000dFigure(s1000dRead(text(changed(module, edits)), 'fuzz'), { picture, boxes: new Map() })
          figureFileCheck(file)
        }),
      ),
      { numRuns: 1000, seed: 4112 },
    )
    fc.assert(
      fc.property(changes, (edits) =>
        refusedOrRead(() => {
          svgHotspots(text(changed(drawing, edits)), new Set(['AUTOID_1', 'AUTOID_2', 'AUTOID_3']), 'fuzz.svg')
        }),
      ),
      { numRuns: 1000, seed: 4113 },
    )
  })
})
