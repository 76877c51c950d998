'use server'

import { action } from '@/app/_server/action.ts'
import { countSettingsSave } from '@/lib/db/count-settings.ts'
import { CountSettingsForm } from '@/lib/stock/count-settings.ts'

export const saveCounting = action({
  right: 'stock.approve',
  schema: CountSettingsForm,
  run: countSettingsSave,
  then: () => ({ says: 'Counts are made so from now on; what was counted stays as it is.' }),
})
