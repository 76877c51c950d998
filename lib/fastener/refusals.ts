/** The rows of fasteners in the table of refusals (lib/refusal-table.ts): status, what happened, what to do next. */
export const FASTENER_REFUSALS = {
  'fastener/not-measured': [422, '{what} is “{typed}”.', 'Write a number from {least} to {most} {unit}.'],
  'fastener/nothing-typed': [422, 'Nothing to reckon from yet.', 'Fill in {what}.'],
  'fastener/no-size': [
    422,
    '{standard} has no size for {what}.',
    'Measure again, or use what the manual of the maker names for this joint.',
  ],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
