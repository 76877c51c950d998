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
} as const
