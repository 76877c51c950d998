/** What the shelf refuses, in the words of lib/refusal-table.ts. */
export const STOCK_REFUSALS = {
  'stock/unknown-part': [404, 'No part has the number {part}.', 'Look it up on the Shelf screen or in the parts book.'],
  'stock/unknown-bin': [404, 'There is no bin {bin}.', 'Pick a bin of the store.'],
  'stock/unknown-pack': [404, 'The part no longer comes in that pack.', 'Reload the part card.'],
  'stock/unknown-store': [404, 'There is no such store.', 'Reload the list of stores.'],
  'stock/store-taken': [409, 'A store is called {store} already.', 'Nothing was changed. Choose another name.'],
  'stock/bin-taken': [
    409,
    '{store} has a bin {bin} already.',
    'Nothing was changed. Bin codes are unique in their store, whatever their spaces and capitals.',
  ],
  'stock/bin-not-empty': [
    409,
    'Bin {bin} cannot be closed: {parts} in it.',
    'Move the whole bin to another one first.',
  ],
  'stock/bin-closed': [409, 'Bin {bin} is closed.', 'Choose another bin, or have this one opened again.'],
  'stock/not-for-use': [
    409,
    '{part} in bin {bin} lies {lies}: it is not taken for use.',
    'When it is sound, move it to a shelf bin first.',
  ],
  'stock/on-the-way': [
    409,
    'What lies in bin {bin} is on the way between two stores.',
    'Book what arrived, or what was lost, at its consignment.',
  ],
  'consignment/unknown': [404, 'There is no such consignment.', 'Open it from the list of what is on the way.'],
  'consignment/sent': [
    409,
    'Consignment {number} was sent before.',
    'Nothing was changed. Pack another one for what is still to go.',
  ],
  'consignment/not-sent': [
    409,
    'Consignment {number} is still being packed.',
    'Send it first; nothing of it has moved.',
  ],
  'consignment/empty': [422, 'Nothing is in consignment {number}.', 'Put a part in first.'],
  'consignment/other-store': [422, 'Bin {bin} is not in {store}.', 'Choose a bin of {store}.'],
  'consignment/more-than-sent': [
    409,
    'Of {part} no more than {open} can be on the way.',
    'Nothing was booked. If more came than was sent, book what arrived and count both bins.',
  ],
  'stock/nothing-to-move': [409, 'Bin {bin} is empty: there is nothing to move.', 'Nothing was changed.'],
  'stock/unknown-batch': [404, 'There is no such batch of {part}.', 'Choose one of the batches that are listed.'],
  'stock/batch-not-there': [
    409,
    'Of batch {batch} only {left} lie in this bin.',
    'Take less of it, or choose another batch or bin.',
  ],
  'stock/batch-needed': [
    422,
    'Of {part} the batch is kept, and none was said.',
    'Nothing was booked. Enter the batch number that is printed on the pack or on the delivery note.',
  ],
  'stock/use-by-needed': [
    422,
    'Of {part} the use-by date is kept, and none was said.',
    'Nothing was booked. Enter the date that is printed on the pack; without a day it is the last of the month.',
  ],
  'stock/batch-other-date': [
    409,
    'Batch {batch} of {part} stands in the books with the use-by date {day}, not {other}.',
    'Nothing was booked. Look at the pack again; if the books are wrong, change the date at the batch first.',
  ],
  'stock/batch-taken': [409, '{part} has a batch {batch} already.', 'Nothing was changed. Look at the code again.'],
  'stock/expired-arrived': [
    409,
    'Its use-by date, {day}, is past.',
    'Nothing was booked. Put it into a quarantine bin and tell the supplier, or say that it is kept all the same.',
  ],
  'stock/batch-expired': [
    409,
    'Batch {batch} was to be used by {day}.',
    'Nothing was booked. Take another batch, or say why this one is taken; the maker’s sheet says whether it may be.',
  ],
  'stock/only-expired': [
    409,
    'Only {good} of {part} in {bin} are within their use-by date; {expired} are past it.',
    'Take fewer or from another bin, or choose the expired batch and say why.',
  ],
  'stock/batch-which': [
    409,
    '{part} was taken out of several batches.',
    'Nothing was booked. Choose the batch that goes back.',
  ],
  'stock/batch-sum': [
    409,
    'The batches add up to {sum}, the books say {books} lie in {bin}.',
    'Nothing was changed. When the bin holds another amount, count it first.',
  ],
  'stock/wrong-quantity': [
    422,
    'The quantity {quantity} cannot be used for a part kept by the {unit}.',
    'Enter a number above zero; each takes whole numbers only.',
  ],
  'stock/not-enough': [
    409,
    'Only {left} of {part} left in {bin}; {wanted} wanted. {taken}{onOrder}',
    'Take what is there, another bin, or put the part on the order list.',
  ],
  'stock/more-than-out': [
    409,
    '{out} is out there, and {wanted} cannot come back.',
    'Nothing was booked. Look at the figure; what was never taken from this shelf is received, not put back.',
  ],
  'stock/reserved': [
    409,
    '{left} of {part} are on the shelf, but {allocated} of them are kept for {jobs}.',
    'Ask whoever has that job, or take it against that job.',
  ],
  'stock/not-kept': [
    409,
    'Job {job} has only {left} of {part} kept now.',
    'Nothing was changed. Look at the list as it is now.',
  ],
  'stock/not-wanted': [
    409,
    'Job {job} still wants only {wanted} of {part}.',
    'Nothing was changed. Look at the list as it is now.',
  ],
  'stock/bulk-changed': [
    409,
    '{part} is no longer what it was when you looked.',
    'Nothing was changed. Look at the list again.',
  ],
  'stock/already-reversed': [409, 'Movement {movement} was put right before by movement {by}.', 'Nothing more to do.'],
  'stock/not-reversible': [
    409,
    'Movement {movement} cannot be reversed: {why}.',
    'Book the difference as a count instead.',
  ],
  'stock/moved-since': [
    409,
    'The bin held {before} when you began to count and holds {now}: somebody took or put away meanwhile.',
    'Nothing was booked. Count it again.',
  ],
  'stock/worth-too-much': [
    422,
    'So many at that price are worth more than can be kept to the minor unit.',
    'Look at the price and at the quantity again.',
  ],
  'stock/no-reason': [422, 'A count difference or scrap needs a reason.', 'Say in a few words why the shelf differs.'],
  'stock/count-for-approval': [
    409,
    'The difference is worth {value}; above {limit} it waits for approval.',
    'Nothing was booked. Count it on a count sheet, where it can wait.',
  ],
  'stock/count-not-waiting': [
    409,
    'This count does not wait for approval any more.',
    'Nothing was changed. Reload the list of what waits.',
  ],
  'stock/count-own': [
    409,
    'You counted this yourself, and somebody else may approve it.',
    'Nothing was booked. Ask {names}.',
  ],
  'stock/count-overtaken': [
    409,
    'Since {part} was counted, another count of it was booked, or more was taken than was counted.',
    'Nothing was booked. Send it back to be counted again.',
  ],
} as const
