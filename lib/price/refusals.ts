/** What prices, offers and rates refuse; rows of the one table in refusal-table.ts. */
export const PRICE_REFUSALS = {
  'price/no-rate': [
    409,
    '{supplier} asks {currency}, and no rate of that currency is kept.',
    'Nothing was ordered. Keep a rate on the screen Rates of other currencies, then send again.',
  ],
  'price/own-currency': [
    422,
    '{currency} is the money of the workshop: it has no rate.',
    'Nothing was kept. Enter the other currency.',
  ],
  'price/rate-to-come': [422, 'That day is still to come.', 'Nothing was kept. Enter the rate on its own day.'],
  'price/withdrawn': [
    409,
    '{supplier} does not sell {part} any more: the offer was withdrawn.',
    'Nothing was changed. Offer it again first.',
  ],
  'price/list-name': [
    409,
    '{supplier} has a list {name} already.',
    'Nothing was changed. Choose that list, or give this one another name.',
  ],
  'price/unknown-list': [404, 'There is no price list {list}.', 'Go back to the supplier.'],
  'price/period': [
    422,
    'The last day of the list is before its first.',
    'Nothing was changed. Correct one of the two days.',
  ],
  'price/list-over': [
    409,
    'The list {name} ended on {day}: its prices are history.',
    'Nothing was changed. Enter a new list.',
  ],
  'price/breaks': [
    422,
    'The prices of {part} cannot be used: {why}.',
    'Nothing was changed. Correct them and send again.',
  ],
  'price/currency-with-prices': [
    409,
    '{supplier} has prices of {count} in {currency}.',
    'Nothing was changed. Say that they are meant in the other currency, or leave the currency as it is.',
  ],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
