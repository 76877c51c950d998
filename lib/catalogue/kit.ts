import { moneyOfQuantity } from '../measure/money.ts'
import type { StockUnit } from '../measure/quantity.ts'

export interface KitFacts {
  kitId: number
  number: string
  description: string
  /** Money minor units for one kit; null when nobody is known to sell it. */
  priceMinor: number | null
  /** What is in one kit, minor units of each part's stock unit. */
  contents: readonly { partId: number; number: string; description: string; quantity: number }[]
}

export interface KitNeed {
  partId: number
  /** Minor units of `unit`. */
  quantity: number
  unit: StockUnit
  /** Money minor units for one stock unit; null when nobody is known to sell it. */
  priceMinor: number | null
}

export interface KitHint {
  kit: KitFacts
  /** Kits to buy. */
  kits: number
  /** Contents that are wanted, and how many the kits leave to be bought singly. */
  wanted: { partId: number; number: string; quantity: number; rest: number }[]
  /** Contents that come with the kit and nobody asked for. */
  spare: { partId: number; number: string; description: string }[]
  /** Everything wanted bought singly. */
  singlyMinor: number
  /** The kits, and what they leave bought singly. */
  asKitMinor: number
}

/** More kits of one kind than this are no hint but an order of its own. */
const KITS_MAX = 500

/**
 * Kits that do what is wanted for less money: at least two contents and at least half of all contents of the kit are wanted, and
 * some number of kits with the rest bought singly costs less than all of it singly. Prices are those of one stock unit, before
 * packs, minimums and carriage. Where a price is not known nothing is said. Best saving first, ties by kit id.
 *
 * Example: three of four filters at 9.00, 12.00 and 30.00 are 51.00 singly; the kit of all four at 45.00 saves 6.00.
 * When a kit is worth buying: common practice, no source.
 */
export function kitHints(needs: readonly KitNeed[], kits: readonly KitFacts[]): KitHint[] {
  const needOf = new Map(needs.filter((need) => need.quantity > 0).map((need) => [need.partId, need]))
  return kits
    .flatMap((kit) => kitHint(kit, needOf) ?? [])
    .sort((a, b) => b.singlyMinor - b.asKitMinor - (a.singlyMinor - a.asKitMinor) || a.kit.kitId - b.kit.kitId)
}

function kitHint(kit: KitFacts, needOf: ReadonlyMap<number, KitNeed>): KitHint | null {
  const wanted = kit.contents.filter((content) => needOf.has(content.partId) && content.quantity > 0)
  if (kit.priceMinor === null || wanted.length < 2 || wanted.length * 2 < kit.contents.length) return null
  const priced = wanted.map((content) => ({ ...content, need: needOf.get(content.partId)! }))
  if (priced.some(({ need }) => need.priceMinor === null)) return null
  const singly = (kits: number) =>
    priced.reduce((sum, { need, quantity }) => {
      const rest = Math.max(0, need.quantity - kits * quantity)
      return sum + moneyOfQuantity(need.priceMinor!, rest, need.unit)
    }, 0)
  const most = Math.min(KITS_MAX, Math.max(...priced.map(({ need, quantity }) => Math.ceil(need.quantity / quantity))))
  const singlyMinor = singly(0)
  let best = { kits: 0, asKitMinor: singlyMinor }
  for (let count = 1; count <= most; count++) {
    const asKitMinor = count * kit.priceMinor + singly(count)
    if (asKitMinor < best.asKitMinor) best = { kits: count, asKitMinor }
  }
  if (best.kits === 0) return null
  return {
    kit,
    ...best,
    singlyMinor,
    wanted: priced.map(({ partId, number, need, quantity }) => ({
      partId,
      number,
      quantity: need.quantity,
      rest: Math.max(0, need.quantity - best.kits * quantity),
    })),
    spare: kit.contents
      .filter((content) => !needOf.has(content.partId))
      .map(({ partId, number, description }) => ({ partId, number, description })),
  }
}
