import { choice, date, identifier, money, optional, quantity, required, text } from './column.ts'
import { MAKER_WORDS, NUMBER_WORDS } from './column-words.ts'

export const prices = {
  supplier: required(
    identifier('name of the supplier; it must be known', 80),
    'supplier name',
    'vendor',
    'vendor name',
    'dealer',
  ),
  list: required(identifier('name of the price list; made when it is not known', 80), 'price list', 'list name'),
  valid_from: required(
    date('first day of the list; the same in all its rows'),
    'from date',
    'valid as of',
    'start date',
  ),
  valid_until: optional(
    date('last day of the list; empty: until another list begins'),
    'valid to',
    'until',
    'to date',
    'end date',
  ),
  breaks: optional(
    choice('what the price of a break holds for: all-units, the whole quantity; incremental, what lies beyond it', [
      'all-units',
      'incremental',
    ]),
    'discount kind',
  ),
  source: optional(text('where the list is from; new lists: the name of the file'), 'reference'),
  maker: optional(identifier('who makes the part; needed where two makers have the number', 80), ...MAKER_WORDS),
  number: optional(
    identifier("part number of ours; empty where the supplier's own number stands for it"),
    ...NUMBER_WORDS,
  ),
  supplier_number: optional(
    identifier("the supplier's own number, of an offer that is known", 60),
    'supplier part number',
    'vendor part number',
    'order number',
    'supplier part no',
    'order code',
    'catalogue number',
    'catalog number',
  ),
  from_quantity: optional(
    quantity('from this quantity on; empty: from the smallest order on'),
    'from',
    'quantity',
    'qty',
    'min qty',
    'break quantity',
    'from qty',
  ),
  to_quantity: optional(
    quantity('up to this quantity, to be checked against the next break; empty in the last row of a part'),
    'to',
    'to qty',
    'max qty',
  ),
  price: required(
    money('of one stock unit, before the discount of the supplier'),
    'unit price',
    'net price',
    'list price',
  ),
  currency: optional(text('ISO 4217 code; must be what the supplier asks', 3), 'ccy', 'currency code'),
}
