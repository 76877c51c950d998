import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'

export interface BenchWish {
  /** All prices a hundredth: every threshold is in reach and none is certain. */
  isCheap?: boolean
  /** A tenth of the parts may stand in for another, and a kit for every fifty parts holds four of them for 15 % less. */
  isLinked?: boolean
  /** The first need of each part is due before the slower suppliers can bring it; a day late costs 5 a piece. */
  isDated?: boolean
}

/**
 * A winter's order list: each part is sold by most of the suppliers, in packs, with two price breaks, at prices that lie within a
 * fifth of each other; carriage, thresholds and minimum orders are such that no supplier is the obvious one. Same for the same size.
 */
export function benchProblem(
  lines: number,
  suppliers: number,
  { isCheap = false, isLinked = false, isDated = false }: BenchWish = {},
): Record<string, unknown> {
  const random = randomSeeded(`order plan ${lines} ${suppliers}`)
  const names = Array.from({ length: suppliers }, (_, at) => `Supplier ${at + 1}`)
  const parts = Array.from({ length: lines }, (_, at) => `P-${at + 1}`)
  const needs: Record<string, unknown>[] = []
  const offers: Record<string, unknown>[] = []
  for (const part of parts) {
    const price = Math.ceil(100 * 10 ** (random() * 2.5))
    const pieces = randomInteger(random, 1, 40)
    const first = randomInteger(random, 1, pieces)
    const soon = isDated ? { by: '2026-12-04', late: { perDayMinor: 5 } } : { by: '2027-01-15' }
    needs.push({ part, quantity: first, ...soon, for: { job: `${randomInteger(random, 1, 40)}` } })
    if (pieces > first)
      needs.push({
        part,
        quantity: pieces - first,
        by: '2027-03-01',
        for: { service: `S${randomInteger(random, 1, 9)}` },
      })
    for (const supplier of names) {
      if (random() < 0.1) continue
      const own = Math.ceil(price * (0.9 + 0.2 * random()))
      const pack = randomPick(random, [1, 1, 1, 2, 5, 10])
      const second = pack * randomInteger(random, 2, 10)
      offers.push({
        supplier,
        part,
        pack,
        minimum: randomPick(random, [0, 0, pack, pack * 2]),
        prices: [
          { from: 1, priceMinor: own },
          { from: second, priceMinor: Math.ceil(own * 0.95) },
          { from: second * 4, priceMinor: Math.ceil(own * 0.88) },
        ].map((one) => ({ ...one, priceMinor: isCheap ? Math.ceil(one.priceMinor / 100) : one.priceMinor })),
        breaks: randomPick(random, ['all-units', 'all-units', 'incremental']),
        preferred: supplier === names[0],
      })
    }
  }
  return {
    format: 'cotterbook-order-plan',
    currency: 'GBP',
    today: '2026-11-30',
    parts: parts.map((id) => ({ id })),
    needs,
    suppliers: names.map((id, at) => ({
      id,
      leadDays: 3 + at,
      carriageMinor: 1500 + 500 * at,
      carriagePaidFromMinor: 50_000 + 20_000 * at,
      minimumOrderMinor: at % 2 === 0 ? 0 : 5000,
    })),
    offers,
    ...(isLinked ? linked(parts, names, offers) : {}),
  }
}

/** Stand-ins among the first fifth of the parts, kits of the parts behind them. */
function linked(parts: readonly string[], suppliers: readonly string[], offers: readonly Record<string, unknown>[]) {
  const random = randomSeeded('order plan, linked')
  const priceOf = (part: string) =>
    (offers.find((offer) => offer.part === part)?.prices as { priceMinor: number }[] | undefined)?.[0]?.priceMinor ?? 10
  const tenth = Math.floor(parts.length / 10)
  return {
    alternatives: Array.from({ length: tenth }, (_, at) => ({ part: parts[2 * at], fills: parts[2 * at + 1] })),
    kits: Array.from({ length: Math.floor(parts.length / 50) }, (_, at) => {
      const first = 2 * tenth + 5 * at
      const holds = parts.slice(first, first + 4).map((part) => ({ part, quantity: randomInteger(random, 1, 4) }))
      const loose = holds.reduce((sum, { part, quantity }) => sum + quantity * priceOf(part), 0)
      return {
        id: `K-${at + 1}`,
        supplier: suppliers[at % suppliers.length],
        holds,
        prices: [{ from: 1, priceMinor: Math.max(1, Math.round(loose * 0.85)) }],
      }
    }),
  }
}
