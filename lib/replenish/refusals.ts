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
