import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { partNumberKey } from '../../lib/catalogue/part-number.ts'
import { columnsOf, KIND_NAMES } from '../../lib/exchange/columns.ts'
import { columnsPage } from '../../lib/exchange/columns-page.ts'
import { columnsGuess, columnsMatch } from '../../lib/exchange/match.ts'

describe('columns', () => {
  it('docs/columns.md says what the code reads; `npm run columns` prints it anew', () => {
    expect(readFileSync(new URL('../../docs/columns.md', import.meta.url), 'utf8')).toBe(columnsPage())
  })

  it.each(KIND_NAMES)(
    '%s: every column is found under its own name, and none of its words is the name of another',
    (kind) => {
      const names = columnsOf(kind).map(([name]) => name)
      expect([...columnsGuess(kind, names).places]).toEqual(names.map((name, at) => [name, at]))
      const keys = new Set(names.map(partNumberKey))
      for (const [name, { words }] of columnsOf(kind))
        for (const word of words) expect(keys.has(partNumberKey(word)), `${name}: ${word}`).toBe(false)
    },
  )

  it('UK and US headers name the same columns, whatever their case and signs', () => {
    const uk = columnsGuess('parts', ['Make', 'Part No.', 'Designation', 'Unit Cost', 'Min', 'Max'])
    const us = columnsGuess('parts', ['MFR', 'P/N', 'Part Name', 'unit_price', 'Min Stock', 'max stock'])
    expect([...uk.places]).toEqual([...us.places])
    expect(uk.unused).toEqual([])
  })

  it('a required column that is missing, a header twice and one named by hand that is not there are all told', () => {
    expect(() => columnsMatch('parts', ['number', 'cost', 'Cost'], { description: 'Text' }, 'a.csv')).toThrowError(
      expect.objectContaining({
        faults: [
          expect.stringContaining('no header "Text"'),
          expect.stringContaining('stands twice'),
          expect.stringContaining('maker is missing'),
        ],
      }),
    )
  })
})
