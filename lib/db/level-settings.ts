import { LEVEL_SETTINGS, type LevelSettings, LevelSettingsKept } from '../replenish/level-settings.ts'
import { database, type Tx } from './client.ts'
import type { Reader } from './exchange-rows.ts'
import { type WriteContext, write } from './transaction.ts'

const NAME = 'levels'

/** How this workshop sets its levels; what it never said is as shipped. */
export async function levelSettings(reader: Reader = database()): Promise<LevelSettings> {
  const row = await (reader as Tx).setting.findUnique({ where: { name: NAME } })
  if (!row) return LEVEL_SETTINGS
  return LevelSettingsKept.parse({ ...LEVEL_SETTINGS, ...(JSON.parse(row.value) as object) })
}

export function levelSettingsSave(context: WriteContext, settings: LevelSettings): Promise<LevelSettings> {
  return write(context, 'level.settings', settings, async (tx) => {
    const value = JSON.stringify(settings)
    await tx.setting.upsert({ where: { name: NAME }, create: { name: NAME, value }, update: { value } })
    return settings
  })
}
