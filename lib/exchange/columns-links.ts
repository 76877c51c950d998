import { choice, date, identifier, number, optional, quantity, required, text, yesNo } from './column.ts'

const maker = (of: string) => optional(identifier(`maker of ${of}; needed where two makers have the number`, 80))

export const supersessions = {
  old_maker: maker('the old part'),
  old_number: required(identifier('part number that is replaced; the part must be known'), 'old part', 'replaced part'),
  new_maker: maker('the new part'),
  new_number: required(identifier('part number that replaces it; the part must be known'), 'new part', 'replaced by'),
  ratio: optional(number('new stock units that do the work of one old one; new rows: 1', 1, 1000)),
  interchange: optional(choice('one-way or both-ways; new rows: one-way', ['one-way', 'both-ways'])),
  note: optional(text('what the maker says of it', 300), 'remark'),
}

export const kits = {
  kit_maker: maker('the kit'),
  kit_number: required(identifier('part number of the kit; the part must be known'), 'kit'),
  content_maker: maker('the part in it'),
  content_number: required(identifier('part number of a part in it; the part must be known'), 'content', 'component'),
  quantity: required(quantity('in one kit, in the stock unit of the part in it'), 'qty'),
}

export const alternatives = {
  maker: maker('the part wanted'),
  number: required(identifier('part number that is wanted; the part must be known'), 'part number', 'part'),
  alternative_maker: maker('the alternative'),
  alternative_number: required(identifier('part number used in its place; the part must be known'), 'alternative'),
  both_ways: optional(yesNo('yes: either in place of either; new rows: no')),
  reason: required(text('why it does the same work', 300), 'why'),
  approved_by: required(text('name of the person who approved it; of a new row the one who brings it in', 80)),
  approved_on: required(date('the day it was approved')),
}
