'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { offerKeep, offerPrices, offerWithdraw } from '@/lib/db/offer.ts'
import { ListPricesForm, OfferForm, OfferWithdrawForm } from '@/lib/price/schema.ts'

export const keepOffer = action({
  right: 'buying.order',
  schema: OfferForm,
  run: offerKeep,
  then: ({ supplierId, partId }) => ({ redirect: paths.offer(supplierId, partId) }),
})

export const keepPrices = action({
  right: 'buying.order',
  schema: ListPricesForm,
  run: offerPrices,
  then: (_, { supplierId, partId }) => ({ redirect: paths.offer(supplierId, partId) }),
})

export const withdrawOffer = action({
  right: 'buying.order',
  schema: OfferWithdrawForm,
  run: offerWithdraw,
  then: (_, { supplierId, partId }) => ({ redirect: paths.offer(supplierId, partId) }),
})
