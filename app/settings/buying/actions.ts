'use server'

import { action } from '@/app/_server/action.ts'
import { BuyingSettingsForm } from '@/lib/buying/buying-settings.ts'
import { buyingSettingsSave } from '@/lib/db/buying-settings.ts'

export const saveBuying = action({
  right: 'buying.approve',
  schema: BuyingSettingsForm,
  run: buyingSettingsSave,
  then: () => ({ says: 'Orders are made so from now on; what was approved stays approved.' }),
})
