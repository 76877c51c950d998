import { moneyOfQuantity } from '../measure/money.ts'
import type { KitFacts, KitNeed } from './kit.ts'

export interface KitChoice {
  kit: KitFacts
  /** Kits that cover everything they stand for. */
  kits: number
  /** What they stand for, quantities in minor units. */
  covers: { partId: number; number: string; description: string; quantity: number }[]
  /** What they bring beyond that. */
  over: { partId: number; number: string; description: string; quantity: number }[]
  /** Bought singly, and as kits, money minor units; null where a price is not known. */
  singlyMinor: number | null
  asKitMinor: number | null
}

/** More kits than this for one job are an order, no choice at the bench. */
const KITS_MAX = 20

/**
 * Kits that can stand in for several parts of a job: at least two of their contents are wanted, the kits cover each of them
 * wholly, and either three quarters of what the kits bring is used or they cost less than the parts singly. Of each content
 * its used share counts alike, so that forty spare washers do not hide two brake shoes. Most saving first, then most
 * covered, ties by kit id. When a kit is worth taking: common practice, no source.
 */
export function kitChoices(needs: readonly KitNeed[], kits: readonly KitFacts[]): KitChoice[] {
  const needOf = new Map(needs.filter((need) => need.quantity > 0).map((need) => [need.partId, need]))
  const saving = ({ singlyMinor, asKitMinor }: KitChoice) =>
    singlyMinor === null || asKitMinor === null ? 0 : singlyMinor - asKitMinor
  return kits
    .flatMap((kit) => kitChoice(kit, needOf) ?? [])
    .sort((a, b) => saving(b) - saving(a) || b.covers.length - a.covers.length || a.kit.kitId - b.kit.kitId)
}

function kitChoice(kit: KitFacts, needOf: ReadonlyMap<number, KitNeed>): KitChoice | null {
  const contents = kit.contents.filter((content) => content.quantity > 0)
  const wanted = contents.flatMap((content) => {
    const need = needOf.get(content.partId)
    return need ? [{ ...content, need }] : []
  })
  if (wanted.length < 2) return null
  const kits = Math.max(...wanted.map(({ need, quantity }) => Math.ceil(need.quantity / quantity)))
  if (kits > KITS_MAX) return null
  const used = wanted.reduce((sum, { need, quantity }) => sum + need.quantity / (kits * quantity), 0)
  const singlyMinor = wanted.some(({ need }) => need.priceMinor === null)
    ? null
    : wanted.reduce((sum, { need }) => sum + moneyOfQuantity(need.priceMinor!, need.quantity, need.unit), 0)
  const asKitMinor = kit.priceMinor === null ? null : kits * kit.priceMinor
  const cheaper = singlyMinor !== null && asKitMinor !== null && asKitMinor < singlyMinor
  if (!cheaper && used * 4 < contents.length * 3) return null
  return {
    kit,
    kits,
    covers: wanted.map(({ partId, number, description, need }) => ({
      partId,
      number,
      description,
      quantity: need.quantity,
    })),
    over: contents.flatMap(({ partId, number, description, quantity }) => {
      const rest = kits * quantity - (needOf.get(partId)?.quantity ?? 0)
      return rest > 0 ? [{ partId, number, description, quantity: rest }] : []
    }),
    singlyMinor,
    asKitMinor,
  }
}
