'use server'

import { action } from '@/app/_server/action.ts'
import { countSheetSave, countSheetSays } from '@/lib/db/count-sheet.ts'
import { binEmptyInto } from '@/lib/db/place.ts'
import { savedViewDrop, savedViewKeep } from '@/lib/db/saved-view.ts'
import { placeNames } from '@/lib/db/shelf.ts'
import { stockIssue, stockReceive, stockReturn, stockReverse, stockScrap, stockTransfer } from '@/lib/db/stock.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { BinEmptyInput } from '@/lib/stock/place-schema.ts'
import { ReverseInput, SavedViewDropInput, SavedViewInput } from '@/lib/stock/schema.ts'
import { CountSheetForm, IssueForm, ReceiveForm, ReturnForm, ScrapForm, TransferForm } from './shelf-form.ts'

export const receive = action({
  right: 'stock.receive',
  schema: ReceiveForm,
  run: async (context, input) => ({
    ...(await stockReceive(context, input)),
    ...(await placeNames(input.partId, input.binId)),
  }),
  then: ({ bin, unit, balanceAfter }, { quantity }) => ({
    says: `Received ${quantityFormat(quantity, unit)} into ${bin}; ${quantityFormat(balanceAfter, unit)} there now.`,
  }),
})

export const take = action({
  right: 'stock.issue',
  schema: IssueForm,
  run: async (context, input) => ({
    ...(await stockIssue(context, input)),
    ...(await placeNames(input.partId, input.binId)),
  }),
  then: ({ bin, unit, balanceAfter }, { quantity }) => ({
    says: `Took ${quantityFormat(quantity, unit)} from ${bin}; ${quantityFormat(balanceAfter, unit)} left there.`,
  }),
})

export const backOnShelf = action({
  right: 'stock.issue',
  schema: ReturnForm,
  run: async (context, input) => ({
    ...(await stockReturn(context, input)),
    ...(await placeNames(input.partId, input.binId)),
  }),
  kind: 'stock.return',
  then: ({ bin, unit, balanceAfter }, { quantity }) => ({
    says: `Put ${quantityFormat(quantity, unit)} back into ${bin}; ${quantityFormat(balanceAfter, unit)} there now.`,
  }),
})

export const scrap = action({
  right: 'stock.scrap',
  schema: ScrapForm,
  run: async (context, input) => ({
    ...(await stockScrap(context, input)),
    ...(await placeNames(input.partId, input.binId)),
  }),
  then: ({ bin, unit, balanceAfter }, { quantity }) => ({
    says: `Scrapped ${quantityFormat(quantity, unit)} from ${bin}; ${quantityFormat(balanceAfter, unit)} left there.`,
  }),
})

export const countSheet = action({
  right: 'stock.count',
  schema: CountSheetForm,
  run: countSheetSave,
  then: (lines) => ({ says: countSheetSays(lines) }),
})

export const move = action({
  right: 'stock.transfer',
  schema: TransferForm,
  run: async (context, input) => ({
    ...(await stockTransfer(context, input)),
    ...(await placeNames(input.partId, input.toBinId)),
  }),
  then: (answer, { quantity }) => {
    const show = (minor: number) => quantityFormat(minor, answer.unit)
    return {
      says: `Moved ${show(quantity)} to ${answer.bin}; ${show(answer.in.balanceAfter)} there now, ${show(answer.out.balanceAfter)} left here.`,
    }
  },
})

export const moveBin = action({
  right: 'stock.transfer',
  schema: BinEmptyInput,
  run: binEmptyInto,
  then: ({ from, to, parts }) => ({ says: `${counted(parts, 'part')} moved from ${from} to ${to}.` }),
})

export const putRight = action({ right: 'stock.reverse', schema: ReverseInput, run: stockReverse })
export const keepView = action({
  right: 'signed-in',
  kind: 'stock.view',
  schema: SavedViewInput,
  run: savedViewKeep,
  then: ({ name }) => ({ says: `Kept as “${name}”.` }),
})
export const dropView = action({
  right: 'signed-in',
  kind: 'stock.view-drop',
  schema: SavedViewDropInput,
  run: savedViewDrop,
})
