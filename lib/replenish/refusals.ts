/** What setting levels refuses; rows of the one table in refusal-table.ts. */
export const LEVEL_REFUSALS = {
  'level/running': [
    409,
    'The levels are being reckoned already.',
    'Nothing was begun. Wait until it has come to its end, or cancel it on the screen Levels.',
  ],
  'level/stale': [
    409,
    'Not as they were when you looked: {parts}.',
    'No level was changed. Reload the list; what somebody changed meanwhile is reckoned anew in the next run.',
  ],
  'level/other-run': [
    409,
    'The levels were reckoned anew since this list was opened.',
    'No level was changed. Reload the list and look at what is proposed now.',
  ],
  'level/hold-over': [422, 'That day is over.', 'Nothing was kept. Choose today or a later day.'],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>

/** What the order plan refuses. */
export const PLAN_REFUSALS = {
  'plan/running': [
    409,
    'The order plan is being reckoned already.',
    'Nothing was begun. Wait until it has come to its end, or cancel it on the screen Order plan.',
  ],
  'plan/stale': [
    409,
    'The stock has moved since this plan was reckoned: it is no longer what is wanted now.',
    'Nothing was ordered. Reckon the plan again, look at it, and order then.',
  ],
  'plan/other-run': [
    409,
    'The plan was reckoned anew since this page was opened.',
    'Nothing was ordered. Reload the page and look at the plan as it is now.',
  ],
  'plan/nothing-today': [
    422,
    'The plan orders nothing today.',
    'Nothing was ordered. Look at the days of its orders and come back then.',
  ],
  'plan/no-choice': [
    404,
    'That was undone already, or never set.',
    'Nothing was changed. Reload the page to see what is set by hand.',
  ],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
