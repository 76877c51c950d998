'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { bulkApply } from '@/lib/db/bulk.ts'
import { counted } from '@/lib/measure/counted.ts'
import { rightRequire } from '@/lib/people/role.ts'
import { BulkInput } from '@/lib/stock/bulk.ts'

const TICKED = /^part\.(\d{1,15})$/

/** The list as it is sent: `part.ID` holds what stood there, for each one that is still ticked. */
const BulkForm = z.preprocess((sent) => {
  const form = sent as Record<string, unknown>
  return {
    change: { what: form.what, to: form.to, reorder: form.reorder, upTo: form.upTo },
    parts: Object.entries(form).flatMap(([name, before]) => {
      const id = TICKED.exec(name)?.[1]
      return id === undefined ? [] : [{ partId: Number(id), before }]
    }),
    reason: form.reason,
  }
}, BulkInput)

export const changeMany = action({
  right: 'stock.level',
  schema: BulkForm,
  run: (context, input, who) => {
    // Class and criticality say what a part is, and whoever sets levels need not be allowed to.
    if (input.change.what !== 'levels') rightRequire(who.roles, 'catalogue.edit')
    return bulkApply(context, input)
  },
  then: ({ changed }) => ({ says: `${counted(changed, 'part')} changed.` }),
})
