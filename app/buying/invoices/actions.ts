'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { differenceDecide, invoiceEnter, invoiceWithdraw } from '@/lib/db/invoice.ts'
import { DifferenceDecideInput, InvoiceForm, InvoiceWithdrawInput } from '@/lib/invoice/schema.ts'

export const enterInvoice = action({
  right: 'buying.order',
  schema: InvoiceForm,
  run: invoiceEnter,
  kind: 'invoice.enter',
  then: ({ invoiceId }) => ({ redirect: paths.invoice(invoiceId) }),
})

export const decideDifference = action({
  right: 'buying.order',
  schema: DifferenceDecideInput,
  run: differenceDecide,
  kind: 'invoice.decide',
  then: () => ({ says: 'Kept.' }),
})

export const withdrawInvoice = action({
  right: 'buying.order',
  schema: InvoiceWithdrawInput,
  run: invoiceWithdraw,
  kind: 'invoice.withdraw',
  then: ({ orderId }) => ({ redirect: paths.order(orderId) }),
})
