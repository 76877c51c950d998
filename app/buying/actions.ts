'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { OrderConfirmForm } from '@/lib/buying/confirm-schema.ts'
import { OrderRepeatInput } from '@/lib/buying/draft-schema.ts'
import { OrderCancelInput, OrderPlaceForm, OrderReceiveForm } from '@/lib/buying/schema.ts'
import { OrderSplitForm } from '@/lib/buying/split-schema.ts'
import { orderCancelRest, orderReasons } from '@/lib/db/buying.ts'
import { orderRepeat } from '@/lib/db/order-again.ts'
import { orderConfirm } from '@/lib/db/order-confirm.ts'
import { draftKeep, type OrderMade, orderMake } from '@/lib/db/order-draft.ts'
import { orderSplit } from '@/lib/db/order-split.ts'
import { orderReceive } from '@/lib/db/receiving.ts'
import { counted } from '@/lib/measure/counted.ts'

export const order = action({
  right: 'buying.order',
  schema: OrderPlaceForm,
  run: async (context, { as, ...input }): Promise<OrderMade> =>
    as === 'draft'
      ? { ...(await draftKeep(context, input, await orderReasons())), order: null }
      : orderMake(context, input, await orderReasons()),
  then: ({ draftId, order }) => ({ redirect: order ? paths.order(order.orderId) : paths.orderDraft(draftId) }),
})

export const receiveOrder = action({
  right: 'buying.receive',
  schema: OrderReceiveForm,
  run: orderReceive,
  then: ({ movements, done, notAsOrdered }) => ({
    says: [
      `${counted(movements.length, 'line')} put away.`,
      ...(notAsOrdered.length > 0 ? [`Not as ordered: ${notAsOrdered.join('; ')}.`] : []),
      ...(done ? ['Nothing is due any more.'] : []),
    ].join(' '),
  }),
})

export const cancelRest = action({
  right: 'buying.order',
  schema: OrderCancelInput,
  run: orderCancelRest,
  kind: 'buying.cancel',
})

export const confirmOrder = action({
  right: 'buying.order',
  schema: OrderConfirmForm,
  run: orderConfirm,
  kind: 'buying.confirm',
  then: () => ({ says: 'Kept. The lines are looked for on the days confirmed.' }),
})

export const repeatOrder = action({
  right: 'buying.order',
  schema: OrderRepeatInput,
  run: orderRepeat,
  kind: 'buying.repeat',
  then: ({ draftId }) => ({ redirect: paths.orderDraft(draftId) }),
})

export const splitOrder = action({
  right: 'buying.order',
  schema: OrderSplitForm,
  run: orderSplit,
  kind: 'buying.order-split',
  then: ({ draftId }) => ({ redirect: paths.orderDraft(draftId) }),
})
