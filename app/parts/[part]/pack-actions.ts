'use server'

import { action } from '@/app/_server/action.ts'
import { partPackOff, partPackSet } from '@/lib/db/part-pack.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { PartPackForm, PartPackOffInput } from '@/lib/stock/pack-schema.ts'

export const setPack = action({
  right: 'catalogue.edit',
  schema: PartPackForm,
  run: partPackSet,
  kind: 'part.pack',
  then: ({ unit }, { name, quantity }) => ({ says: `Kept: ${name}, ${quantityFormat(quantity, unit)}.` }),
})

export const offPack = action({
  right: 'catalogue.edit',
  schema: PartPackOffInput,
  run: partPackOff,
  kind: 'part.pack-off',
})
