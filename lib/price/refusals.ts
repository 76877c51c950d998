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
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
