/** The rows of cost centres in the table of refusals (lib/refusal-table.ts): status, what happened, what to do next. */
export const COST_CENTRE_REFUSALS = {
  'cost-centre/no-such': [404, 'There is no such cost centre.', 'Choose one under Settings, Cost centres.'],
  'cost-centre/code-taken': [
    409,
    'The code {code} belongs to {name} already.',
    'Nothing was changed. Choose another code, or open that cost centre again.',
  ],
  'cost-centre/closed': [
    409,
    'The cost centre {code} is closed.',
    'Nothing was changed. Open it again first, or choose another one.',
  ],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
