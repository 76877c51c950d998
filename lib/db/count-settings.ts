import { COUNT_SETTINGS, type CountSettings, CountSettingsKept } from '../stock/count-settings.ts'
import { database, type Tx } from './client.ts'
import type { Reader } from './exchange-rows.ts'
import { type WriteContext, write } from './transaction.ts'

const NAME = 'counting'

/** How this workshop counts; what it never said is as shipped. */
export async function countSettings(reader: Reader = database()): Promise<CountSettings> {
  const row = await (reader as Tx).setting.findUnique({ where: { name: NAME } })
  if (!row) return COUNT_SETTINGS
  return CountSettingsKept.parse({ ...COUNT_SETTINGS, ...(JSON.parse(row.value) as object) })
}

export function countSettingsSave(context: WriteContext, settings: CountSettings): Promise<CountSettings> {
  return write(context, 'count.settings', settings, async (tx) => {
    const value = JSON.stringify(settings)
    await tx.setting.upsert({ where: { name: NAME }, create: { name: NAME, value }, update: { value } })
    return settings
  })
}
