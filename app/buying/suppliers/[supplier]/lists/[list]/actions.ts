'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { priceListChange } from '@/lib/db/price-list.ts'
import { PriceListForm } from '@/lib/price/schema.ts'

export const changeList = action({
  right: 'buying.order',
  schema: PriceListForm,
  run: priceListChange,
  then: ({ listId }, { supplierId }) => ({ redirect: paths.priceList(supplierId, listId) }),
})
