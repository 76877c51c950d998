/** The rows of winter plans in the table of refusals (lib/refusal-table.ts): status, what happened, what to do next. */
export const WINTER_REFUSALS = {
  'winter/no-such': [404, 'There is no such winter plan.', 'Choose one under Buying, Winter.'],
  'winter/ended': [409, 'This winter plan is closed.', 'Nothing was changed. Open it again under “Change the plan”.'],
  'winter/ordered-meanwhile': [
    409,
    'This list was ordered already, from another page or by somebody else.',
    'Nothing was ordered twice. Reload the page: what is on order counts there.',
  ],
  'winter/coming-meanwhile': [
    409,
    'What is on order or in drafts of {parts} has changed since this list was shown.',
    'Nothing was ordered. Reload the page: what is on order and in drafts counts there.',
  ],
  'winter/price-meanwhile': [
    409,
    'What {supplier} asks has changed since this list was shown: {now} now, {shown} then, carriage included.',
    'Nothing was ordered. Reload the page and look at the list at the prices of now.',
  ],
  'winter/not-begun': [409, 'The season of this plan has not begun.', 'Ask for its review from its first day on.'],
  'winter/at-work': [409, 'The plan is still being reckoned.', 'Wait until its screen shows the list, then ask again.'],
  'winter/not-a-week': [
    422,
    'The week of {week} is not one of the season, or is shut.',
    'Nothing was changed. Choose a week of the list.',
  ],
  'winter/not-sold': [
    409,
    'Nobody sells {part} any more as the list had it.',
    'Nothing was ordered. Reload the page and look at the list again.',
  ],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
