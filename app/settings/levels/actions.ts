'use server'

import { action } from '@/app/_server/action.ts'
import { levelSettingsSave } from '@/lib/db/level-settings.ts'
import { LevelSettingsForm } from '@/lib/replenish/level-settings.ts'

export const saveLevelSettings = action({
  right: 'level.reckon',
  schema: LevelSettingsForm,
  run: levelSettingsSave,
  then: () => ({ says: 'The next reckoning goes by this; levels that are kept stay as they are.' }),
})
