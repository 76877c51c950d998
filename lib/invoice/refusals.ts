/** What is refused of invoices, in the words of lib/refusal-table.ts. */
export const INVOICE_REFUSALS = {
  'invoice/no-such': [404, 'There is no invoice {invoice}.', 'Go back to the list of invoices.'],
  'invoice/entered-already': [
    409,
    'Invoice {number} of {supplier} is entered already, for order {order}.',
    'Nothing was kept, so that it is not paid twice. Look at the number again; if that entry is wrong, withdraw it first.',
  ],
  'invoice/empty': [
    422,
    'No line of the order is on the invoice.',
    'Nothing was kept. Enter beside a line how many are invoiced.',
  ],
  'invoice/orders-differ': [
    409,
    'Order {order} is of another supplier, in another currency or at another rate of tax than order {first}.',
    'Nothing was kept. Enter the invoice of each order by itself.',
  ],
  'invoice/decided': [
    409,
    'Somebody decided on this difference since you opened the page: it is {state} now.',
    'Nothing was changed. Reload the page, and decide again if it is wrong.',
  ],
  'invoice/withdrawn': [
    409,
    'Invoice {number} was withdrawn.',
    'Nothing was changed. Enter it anew at its order if it is to be paid.',
  ],
  'invoice/credited': [
    409,
    'Credit note {credit} counts for invoice {number}.',
    'Nothing was changed. Withdraw the credit note first if that is wrong too; its number can be entered anew.',
  ],
  'credit/no-such': [404, 'There is no credit note {credit}.', 'Go back to the list of invoices.'],
  'credit/entered-already': [
    409,
    'Credit note {number} of {supplier} is entered already, for invoice {invoice}.',
    'Nothing was kept, so that it is not counted twice. Look at the number again; if that entry is wrong, withdraw it first.',
  ],
  'credit/empty': [
    422,
    'Nothing on the credit note is credited.',
    'Nothing was kept. Enter an amount beside what it is for, or the one sum it gives.',
  ],
  'credit/nothing-owed': [
    409,
    'Nothing is owed for this: {says}. It is {state}.',
    'Nothing was kept. If the supplier is to give it back all the same, dispute it at the invoice first, then enter the credit note.',
  ],
  'credit/more-than-owed': [
    409,
    'More is credited than is owed: {credited} for {says}, open {open} of {owed}.',
    'Nothing was kept. Read the amount off again. If the supplier gives more back, enter what is owed here and ask for a credit note of the rest, or enter it as sent back if goods went back.',
  ],
  'credit/more-than-invoiced': [
    409,
    'More is credited of {part} than was invoiced and is not credited yet: at most {most} for {cost}.',
    'Nothing was kept. Read the credit note again: how many went back, and what it gives for them without tax.',
  ],
  'credit/adds-up': [
    422,
    'The credit note does not add up: its {what} is {entered}, by its lines it would be {should}.',
    'Nothing was kept. Enter the lines as the paper has them, without tax; if the paper is wrong, ask the supplier for another.',
  ],
  'credit/invoices-differ': [
    409,
    'Invoice {invoice} is of another supplier, in another currency or at another rate of tax than invoice {first}.',
    'Nothing was kept. Enter the credit note of each invoice by itself.',
  ],
  'credit/withdrawn': [
    409,
    'Credit note {number} was withdrawn.',
    'Nothing was changed. Enter it anew at its invoice if it counts.',
  ],
} as const
