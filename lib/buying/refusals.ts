/** What is refused of orders, drafts and suppliers, in the words of lib/refusal-table.ts. */
export const BUYING_REFUSALS = {
  'buying/no-such-order': [404, 'There is no order {order}.', 'Go back to the list of orders.'],
  'buying/unknown-supplier': [404, 'There is no supplier {supplier}.', 'Go back to the list of suppliers.'],
  'buying/supplier-exists': [
    409,
    '{name} is on the list of suppliers already.',
    'Nothing was kept. Change that one, or enter this one under another name.',
  ],
  'buying/nothing-chosen': [
    422,
    'No line is chosen for the order.',
    'Tick at least one line with a quantity above zero.',
  ],
  'buying/nothing-came': [
    422,
    'Nothing is entered as come.',
    'Nothing was booked. Enter beside a line how many came, or say under “Not as ordered” what was wrong.',
  ],
  'buying/no-offer': [409, '{supplier} does not supply {part}.', 'Choose another supplier for it.'],
  'buying/discontinued': [
    409,
    '{part} is no longer made: {note}',
    'Nothing was ordered. Order what supersedes it, or look for one elsewhere in the fleet on its part card.',
  ],
  'buying/over-receipt': [
    409,
    '{part}: {left} still due on this line, {quantity} entered.',
    'Nothing was booked. Enter what was ordered, or say under Not as ordered that you keep what came beyond it.',
  ],
  'buying/damaged-where': [
    422,
    'What came damaged is put into a quarantine bin.',
    'Nothing was booked. Choose one, or set one up under Stores and bins.',
  ],
  'buying/no-such-draft': [404, 'There is no draft {draft}.', 'Go back to the list of orders.'],
  'buying/draft-changed': [
    409,
    'Somebody changed draft {draft} since you opened it.',
    'Nothing was changed. Reload the page, look at the draft as it is now, and do it again.',
  ],
  'buying/draft-state': [
    409,
    'Draft {draft} is {state}.',
    'Nothing was changed. Reload the page to see what can be done with it now.',
  ],
  'buying/draft-empty': [
    422,
    'No line would be left on the draft.',
    'Nothing was changed. Leave a line on it, or discard the draft.',
  ],
  'buying/above-limit': [
    403,
    'This order is of {amount}, above the {limit} up to which whoever orders also approves.',
    'Nothing was changed. Keep it as a draft and ask a manager to approve it, or order less.',
  ],
  'buying/order-done': [
    409,
    'Nothing is due on order {order} any more.',
    'Nothing was changed. Reload the page to see what came of it.',
  ],
  'buying/line-done': [
    409,
    '{part}: nothing of it is due on order {order} any more.',
    'Nothing was changed. Reload the page and do it again with what is still due.',
  ],
  'buying/nothing-confirmed': [
    422,
    'No day is entered.',
    'Nothing was kept. Enter the day for all lines, or a day beside a line.',
  ],
  'buying/no-mail': [
    409,
    'No e-mail can be sent from here{why}.',
    'Nothing was changed. Send the order your own way and mark it as ordered.',
  ],
  'buying/not-merged': [
    409,
    'Draft {other} cannot be taken into draft {draft}: only another draft of the same supplier, in the same currency, can.',
    'Nothing was changed. Order the two by themselves.',
  ],
  'buying/merge-plans': [
    409,
    'Draft {other} and draft {draft} do not belong to the same winter plan.',
    'Nothing was changed. Order the two by themselves, so that the budget of the plan holds only what is its own.',
  ],
  'buying/split-more': [
    409,
    '{part}: {left} can be taken off here, {quantity} entered.',
    'Nothing was changed. Enter no more than that.',
  ],
  'buying/split-rest': [
    409,
    '{part}: {rest} would stay with {supplier}, and it is sold {how}.',
    'Nothing was changed. Move all of it, or leave a quantity that can be ordered.',
  ],
  'buying/due-changed': [
    409,
    '{part}: {due} of it is due on order {order} now, which is not what you saw.',
    'Nothing was changed. Reload the page and do it again with what is due.',
  ],
  'buying/being-sent': [
    409,
    'Draft {draft} is being sent at this moment.',
    'Nothing was changed. Wait two minutes and reload the page.',
  ],
  'buying/nothing-promised': [
    422,
    'No line is ticked for the new day.',
    'Nothing was kept. Tick the lines that come on the new day, or leave the day empty.',
  ],
  'buying/currency-changed': [
    409,
    '{supplier} asks another currency since draft {draft} was saved.',
    'Nothing was changed. Take the approval back if it has one, and save the draft again at the prices of today.',
  ],
} as const
