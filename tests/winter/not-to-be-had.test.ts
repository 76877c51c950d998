import { parse } from 'csv-parse/sync'
import { describe, expect, it } from 'vitest'
import type { PartAnswer } from '../../lib/winter/answer.ts'
import type { WinterPartFacts } from '../../lib/winter/facts.ts'
import { winterCsv } from '../../lib/winter/list-csv.ts'
import { notToBeHad } from '../../lib/winter/not-to-be-had.ts'

const OFFER: NonNullable<WinterPartFacts['offer']> = {
  ...{ supplierId: 3, pack: 1, minimum: 1, priceMinor: 900, leadDays: 40, supplierNumber: null, depositMinor: null },
  ...{ on: { list: null, breakKind: 'all-units', breaks: [{ from: 1, priceMinor: 900 }] }, others: [] },
}

function part(id: number, more: Partial<WinterPartFacts> = {}): WinterPartFacts {
  return {
    ...{ id, number: `TX-${id}`, maker: 'Tarlow', description: 'Wear ring', unit: 'each', free: 0, onOrder: [] },
    ...{ drafts: [], offer: null, discontinued: null, failures: null, runningShare: 1 },
    ...more,
  }
}

/** Three in any case, five enough 95 times of 100, one there. */
function need(partId: number, more: Partial<PartAnswer> = {}): PartAnswer {
  return {
    ...{ partId, certain: 3, mean: 3.6, enough: 5, stock: 1, neededOn: '2026-12-07', lastDay: '2026-12-07' },
    ...more,
  }
}

const whyOf = (
  facts: WinterPartFacts,
  { answer = need(facts.id), leftOut = true, arrives = null as string | null } = {},
) => {
  const arrivals = new Map(arrives === null ? [] : [[facts.id, arrives]])
  const [found] = notToBeHad({ parts: [facts] }, arrivals, {
    leftOut: leftOut ? [facts.id] : [],
    parts: [answer],
  })
  return found && [found.quantity, found.isCertain, found.why]
}

describe('what a list to buy cannot hold', () => {
  it('is said with the reason and how much of it is lacking', () => {
    const nobody = 'no supplier on file sells it, or only in a currency without a rate'
    expect(whyOf(part(1))).toEqual([2, true, nobody])
    expect(whyOf(part(2, { offer: OFFER, discontinued: 'maker’s letter' }))).toEqual([
      2,
      true,
      'no longer made, maker’s letter',
    ])
    expect(whyOf(part(3, { offer: OFFER }), { arrives: '2027-01-16' })).toEqual([
      2,
      true,
      'there on 16 Jan 2027 at the earliest',
    ])
    expect(whyOf(part(4), { answer: need(4, { stock: 3 }) })).toEqual([0, true, 'what is on order comes too late'])
    // Needed perhaps, beyond what is there: two more make it enough 95 times of 100.
    expect(whyOf(part(5), { answer: need(5, { stock: 3 }), leftOut: false })).toEqual([2, false, nobody])
  })

  it('is nothing that somebody sells in time, and nothing of which enough is there', () => {
    expect(whyOf(part(1, { offer: OFFER }), { leftOut: false, arrives: '2026-12-01' })).toBeUndefined()
    expect(whyOf(part(2), { answer: need(2, { stock: 5 }), leftOut: false })).toBeUndefined()
  })

  it('stands in the file under what is bought, without a supplier and a price, and costs nothing', () => {
    const absent = notToBeHad({ parts: [part(1), part(2, { unit: 'litre' })] }, new Map(), {
      leftOut: [1],
      parts: [need(1), need(2, { certain: 0, enough: 2500, stock: 500 })],
    })
    const file = winterCsv([], { absent, lots: new Map() }, 'GBP')
    const rows: Record<string, string>[] = parse(file, { bom: true, columns: true })
    expect(rows.map((row) => [row.part_number, row.supplier, row.quantity, row.unit, row.cost, row.needed_on])).toEqual(
      [
        ['TX-1', '', '2', 'each', '', '2026-12-07'],
        ['TX-2', '', '2', 'litre', '', '2026-12-07'],
      ],
    )
    expect(rows.map(({ why }) => why)).toEqual([
      'not to be had: no supplier on file sells it, or only in a currency without a rate; certain',
      'not to be had: no supplier on file sells it, or only in a currency without a rate; may be needed',
    ])
  })
})
