/** What lists that come in and go out refuse; rows of the one table in refusal-table.ts. */
export const EXCHANGE_REFUSALS = {
  'exchange/unreadable': [
    422,
    '{file} cannot be read: {why}.',
    'Nothing was changed. Put that right and bring the file again.',
  ],
  'exchange/broken-row': [
    422,
    '{file} cannot be read past row {row}: {why}.',
    'Nothing was imported. Correct that row and bring the file again.',
  ],
  'exchange/too-many-rows': [
    413,
    '{file} has more than {limit} rows.',
    'Nothing was imported. Divide it into several files; each is all or nothing for itself.',
  ],
  'exchange/columns': [
    422,
    'The columns of {file} do not fit: {why}.',
    'Nothing was imported. Say which header is which column, or add it; docs/columns.md lists them.',
  ],
  'exchange/no-such-run': [
    404,
    'There is no such file on its way in.',
    'Bring the file again; they are kept for a week.',
  ],
  'exchange/piece': [
    409,
    '{file} did not arrive as a whole.',
    'Nothing was imported. Bring it again; what arrived is used.',
  ],
  'exchange/busy': [
    409,
    '{file} is being worked on at this moment.',
    'Nothing was changed. Wait until it is done, then go on with this one.',
  ],
  'exchange/not-rehearsed': [
    409,
    '{file} has not been rehearsed without refusals.',
    'Nothing was imported. Rehearse it, and mend the rows that are refused.',
  ],
  'exchange/other-rows': [
    409,
    'What can be taken of {file} has changed since it was rehearsed: rows then {then}, now {now}.',
    'Nothing was imported. Rehearse it again and look at the rows that are left out.',
  ],
  'exchange/refused': [
    422,
    'Rows of {file} that cannot be brought in: {count}.',
    'Nothing was imported. Mend the rows listed and bring the file again.',
  ],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
