'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import {
  consignmentArrive,
  consignmentDrop,
  consignmentLine,
  consignmentLineOff,
  consignmentLost,
  consignmentPack,
  consignmentSend,
} from '@/lib/db/consignment.ts'
import { counted } from '@/lib/measure/counted.ts'
import {
  ConsignmentArriveForm,
  ConsignmentInput,
  ConsignmentLineForm,
  ConsignmentLineOffInput,
  ConsignmentLostForm,
  ConsignmentPackInput,
} from '@/lib/stock/consignment-schema.ts'

export const pack = action({
  right: 'stock.transfer',
  schema: ConsignmentPackInput,
  run: consignmentPack,
  kind: 'consignment.pack',
  then: ({ consignmentId }) => ({ redirect: paths.consignment(consignmentId) }),
})

export const addLine = action({
  right: 'stock.transfer',
  schema: ConsignmentLineForm,
  run: consignmentLine,
  kind: 'consignment.line',
  then: () => ({ says: 'In the box.' }),
})

export const offLine = action({
  right: 'stock.transfer',
  schema: ConsignmentLineOffInput,
  run: consignmentLineOff,
  kind: 'consignment.line-off',
})

export const drop = action({
  right: 'stock.transfer',
  schema: ConsignmentInput,
  run: consignmentDrop,
  kind: 'consignment.drop',
  then: () => ({ redirect: paths.onTheWay() }),
})

export const send = action({
  right: 'stock.transfer',
  schema: ConsignmentInput,
  run: consignmentSend,
  kind: 'consignment.send',
  then: ({ lines }) => ({ says: `${counted(lines, 'line')} on the way.` }),
})

export const arrive = action({
  right: 'stock.transfer',
  schema: ConsignmentArriveForm,
  run: consignmentArrive,
  kind: 'consignment.arrive',
  then: ({ lines, missing }) => ({
    says: `${counted(lines, 'line')} put away.${missing === 0 ? '' : ` ${counted(missing, 'line')} still on the way.`}`,
  }),
})

export const lost = action({
  right: 'stock.count',
  schema: ConsignmentLostForm,
  run: consignmentLost,
  kind: 'consignment.lost',
  then: () => ({ says: 'Booked out as lost.' }),
})
