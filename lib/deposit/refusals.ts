/** What is refused of deposits and old units, in the words of lib/refusal-table.ts. */
export const DEPOSIT_REFUSALS = {
  'deposit/unit-not-there': [
    409,
    'This old unit is not {state} any more.',
    'Nothing was booked. Look at the list as it is now.',
  ],
  'deposit/none-open': [
    409,
    'No deposit is open with this supplier for {part}.',
    'Nothing was sent. Choose the supplier that the exchange part came from.',
  ],
  'deposit/settled': [
    409,
    'Nothing is owed of this deposit any more.',
    'Nothing was booked. Look at the list as it is now.',
  ],
  'deposit/went-back': [
    409,
    'An old unit went back for this deposit.',
    'Book what the supplier credits at its return note.',
  ],
  'deposit/more-than-owed': [
    422,
    'More cannot be credited than the deposit that is owed.',
    'Nothing was booked. Enter what the credit note says of this unit.',
  ],
  'deposit/no-reason': [422, 'Part of the deposit is not credited.', 'Nothing was booked. Say why.'],
  'deposit/old-unit-bin': [
    422,
    'Old units are kept in a bin for old units.',
    'Choose one, or set one up under Stores and bins.',
  ],
  'deposit/bin-in-use': [409, 'Old units lie in bin {bin}.', 'Nothing was changed. Put them into another bin first.'],
  'deposit/not-taken': [
    409,
    'No {part} was taken there whose old unit is still to be kept.',
    'Nothing was kept. Somebody may have kept it before: look at the list as it is now.',
  ],
  'deposit/by-the-piece': [
    422,
    '{part} is not counted by the piece.',
    'A deposit belongs to single pieces: nothing was changed.',
  ],
  'deposit/no-offer': [404, 'The supplier no longer sells this part.', 'Reload the part card.'],
  'deposit/no-such-note': [404, 'There is no such return note.', 'Go back to the old units.'],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
