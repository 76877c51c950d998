import { STOCK_UNITS } from '../measure/quantity.ts'
import { COUNT_REASON_CODES } from '../stock/count-reasons.ts'
import { choice, identifier, optional, quantity, required, text } from './column.ts'
import { DESCRIPTION_WORDS, NUMBER_WORDS, UNIT_WORDS } from './column-words.ts'

/** A count sheet: it goes out without what the books say, and comes back with what was counted. */
export const counts = {
  line: required(identifier('id of the line, as it stands on the sheet', 60), 'line id', 'id', 'sheet line'),
  store: optional(text('for whoever counts'), 'warehouse', 'site', 'depot'),
  bin: optional(text('for whoever counts'), 'bin code', 'location', 'shelf'),
  number: optional(text('for whoever counts'), ...NUMBER_WORDS),
  description: optional(text('for whoever counts'), ...DESCRIPTION_WORDS),
  batches: optional(
    text('for whoever counts: the batches that the books have in the bin; all of them are one count', 2000),
  ),
  unit: optional(
    choice('stock unit in which it is counted, to be checked against the part', STOCK_UNITS, UNIT_WORDS),
    'uom',
    'u/m',
  ),
  counted: optional(
    quantity('what lies there, in the stock unit; 0 when there is none; empty: not counted, and left alone'),
    'quantity',
    'qty',
    'count',
  ),
  moved: optional(
    choice(
      'where something moved since the sheet was made: whether it was counted before or after that',
      ['before', 'after'],
      {
        'counted-before': 'before',
        'counted-after': 'after',
      },
    ),
    'counted before or after',
  ),
  reason: optional(choice('why it differs', COUNT_REASON_CODES), 'why'),
  words: optional(text('why it differs, in words'), 'remark', 'note'),
}
