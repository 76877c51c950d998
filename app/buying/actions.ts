'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { OrderCancelInput, OrderPlaceForm, OrderReceiveForm } from '@/lib/buying/schema.ts'
import { orderCancelRest, orderPlace, orderReasons } from '@/lib/db/buying.ts'
import { orderReceive } from '@/lib/db/receiving.ts'
import { counted } from '@/lib/measure/counted.ts'

export const order = action({
  right: 'buying.order',
  schema: OrderPlaceForm,
  run: async (context, input) => orderPlace(context, input, await orderReasons()),
  then: ({ orderId }) => ({ redirect: paths.order(orderId) }),
})

export const receiveOrder = action({
  right: 'buying.receive',
  schema: OrderReceiveForm,
  run: orderReceive,
  then: ({ movements, done }) => ({
    says: `${counted(movements.length, 'line')} put away.${done ? ' Nothing is due any more.' : ''}`,
  }),
})

export const cancelRest = action({
  right: 'buying.order',
  schema: OrderCancelInput,
  run: orderCancelRest,
  kind: 'buying.cancel',
})
