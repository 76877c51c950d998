'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { SupplierForm } from '@/lib/buying/supplier-schema.ts'
import { supplierChange, supplierCreate } from '@/lib/db/supplier.ts'
import { Id } from '@/lib/stock/schema.ts'

export const newSupplier = action({
  right: 'buying.order',
  schema: SupplierForm,
  run: supplierCreate,
  then: ({ supplierId }) => ({ redirect: paths.supplier(supplierId) }),
})

const Which = z
  .object({ supplierId: Id, pricesMeant: z.string().optional() })
  .transform(({ supplierId, pricesMeant }) => ({ supplierId, pricesMeant: pricesMeant !== undefined }))

export const changeSupplier = action({
  right: 'buying.order',
  schema: z.looseObject({ supplierId: Id }).transform((form, context) => {
    const which = Which.parse(form)
    const facts = SupplierForm.safeParse(form)
    if (facts.success) return { ...facts.data, ...which }
    for (const issue of facts.error.issues)
      context.addIssue({ code: 'custom', path: issue.path, message: issue.message })
    return z.NEVER
  }),
  run: supplierChange,
  then: ({ supplierId }) => ({ redirect: paths.supplier(supplierId) }),
})
