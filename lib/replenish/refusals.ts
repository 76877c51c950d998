/** What setting levels refuses; rows of the one table in refusal-table.ts. */
export const LEVEL_REFUSALS = {
  'level/running': [
    409,
    'The levels are being reckoned already.',
    'Nothing was begun. Wait until it has come to its end, or cancel it on the screen Levels.',
  ],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
