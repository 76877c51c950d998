'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { creditEnter, creditWithdraw } from '@/lib/db/credit.ts'
import { CreditForm, CreditWithdrawInput } from '@/lib/invoice/credit-schema.ts'

export const enterCredit = action({
  right: 'buying.order',
  schema: CreditForm,
  run: creditEnter,
  kind: 'credit.enter',
  then: ({ creditNoteId }) => ({ redirect: paths.credit(creditNoteId) }),
})

export const withdrawCredit = action({
  right: 'buying.order',
  schema: CreditWithdrawInput,
  run: creditWithdraw,
  kind: 'credit.withdraw',
  then: ({ invoiceId }) => ({ redirect: paths.invoice(invoiceId) }),
})
