import { BUYING_SETTINGS, type BuyingSettings, BuyingSettingsKept } from '../buying/buying-settings.ts'
import { database, type Tx } from './client.ts'
import type { Reader } from './exchange-rows.ts'
import { type WriteContext, write } from './transaction.ts'

const NAME = 'buying'

/** How this workshop orders; what it never said is as shipped. */
export async function buyingSettings(reader: Reader = database()): Promise<BuyingSettings> {
  const row = await (reader as Tx).setting.findUnique({ where: { name: NAME } })
  if (!row) return BUYING_SETTINGS
  return BuyingSettingsKept.parse({ ...BUYING_SETTINGS, ...(JSON.parse(row.value) as object) })
}

/** The rate of tax on what a supplier sells, thousandths: its own, else the workshop's; null where neither is kept. */
export async function taxRate(reader: Reader, supplier: { taxThousandths: number | null }): Promise<number | null> {
  return supplier.taxThousandths ?? (await buyingSettings(reader)).taxThousandths
}

export function buyingSettingsSave(context: WriteContext, settings: BuyingSettings): Promise<BuyingSettings> {
  return write(context, 'buying.settings', settings, async (tx) => {
    const value = JSON.stringify(settings)
    await tx.setting.upsert({ where: { name: NAME }, create: { name: NAME, value }, update: { value } })
    return settings
  })
}
