'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import {
  binChange,
  binClose,
  binMap,
  binReopen,
  binsAdd,
  binWalk,
  partBinOff,
  partBinSet,
  storeAdd,
  storeChange,
} from '@/lib/db/place.ts'
import { counted } from '@/lib/measure/counted.ts'
import {
  BinChangeInput,
  BinInput,
  BinMapForm,
  BinsAddInput,
  BinWalkForm,
  PartBinInput,
  PartBinOffInput,
  StoreAddInput,
  StoreChangeInput,
} from '@/lib/stock/place-schema.ts'

export const addStore = action({
  right: 'stock.places',
  schema: StoreAddInput,
  run: storeAdd,
  then: ({ storeId }) => ({ redirect: paths.store(storeId) }),
})

export const changeStore = action({
  right: 'stock.places',
  schema: StoreChangeInput,
  run: storeChange,
  then: () => ({ says: 'Kept.' }),
})

export const addBins = action({
  right: 'stock.places',
  schema: BinsAddInput,
  run: binsAdd,
  then: ({ binIds }) => ({ says: `${counted(binIds.length, 'bin')} set up at the end of the walk.` }),
})

export const changeBin = action({
  right: 'stock.places',
  schema: BinChangeInput,
  run: binChange,
  then: ({ code }) => ({ says: `Bin ${code} is kept so.` }),
})

export const walkBin = action({
  right: 'stock.places',
  schema: BinWalkForm,
  run: binWalk,
  then: ({ code, place }) => ({ says: `Bin ${code} is number ${place} on the walk now.` }),
})

export const mapBin = action({
  right: 'stock.places',
  schema: BinMapForm,
  run: binMap,
  then: ({ code, square }) => ({
    says: square ? `Bin ${code} stands in column ${square.column}, row ${square.row}.` : `Bin ${code} is off the map.`,
  }),
})

export const closeBin = action({
  right: 'stock.places',
  schema: BinInput,
  run: binClose,
  kind: 'place.bin-close',
  then: ({ code }) => ({ says: `Bin ${code} is closed.` }),
})

export const reopenBin = action({
  right: 'stock.places',
  schema: BinInput,
  run: binReopen,
  kind: 'place.bin-reopen',
  then: ({ code }) => ({ says: `Bin ${code} is in use again.` }),
})

export const setPartBin = action({
  right: 'stock.places',
  schema: PartBinInput,
  run: partBinSet,
  then: ({ bin, kind }) => ({
    says: kind === 'fixed' ? `${bin} is its fixed bin.` : `What does not fit goes to ${bin}.`,
  }),
})

export const offPartBin = action({ right: 'stock.places', schema: PartBinOffInput, run: partBinOff })
