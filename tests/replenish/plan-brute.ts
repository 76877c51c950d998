import fc from 'fast-check'

/** A small problem as it would stand in a file, and the least that any set of packs costs, found by trying all of them. */

export interface SmallOffer {
  id: string
  supplier: string
  part: string
  pack: number
  minimum: number
  prices: { from: number; priceMinor: number }[]
  breaks: 'all-units' | 'incremental'
}

export interface SmallProblem {
  suppliers: {
    id: string
    leadDays: number
    carriageMinor: number
    carriagePaidFromMinor: number | null
    minimumOrderMinor: number
  }[]
  parts: { id: string; free: number }[]
  needs: { id: string; part: string; quantity: number; by: string; late: 'never' | { perDayMinor: number } }[]
  offers: SmallOffer[]
  kits: {
    id: string
    supplier: string
    holds: { part: string; quantity: number }[]
    prices: { from: number; priceMinor: number }[]
  }[]
  alternatives: { part: string; fills: string }[]
  budgetMinor?: number
}

const TODAY = Date.parse('2026-11-30')
const dayOf = (date: string) => Math.round((Date.parse(date) - TODAY) / 86_400_000)

/**
 * Pieces of an offer beyond which nothing can pay: all needs take 10 at most, and the highest threshold is 60 at the least price of 4.
 */
const PIECES_MOST = 16

export const problemFile = (problem: SmallProblem) => ({
  format: 'cotterbook-order-plan',
  currency: 'GBP',
  today: '2026-11-30',
  ...problem,
})

/** Two suppliers and two parts, every kind of limit now and then; quantities so small that all packs can be tried. */
export const smallProblem: fc.Arbitrary<SmallProblem> = fc
  .record({
    suppliers: fc.tuple(
      ...['Alder Vale', 'Bramble & Co'].map((id) =>
        fc.record({
          id: fc.constant(id),
          leadDays: fc.constantFrom(2, 9),
          carriageMinor: fc.constantFrom(0, 7, 15, 40),
          carriagePaidFromMinor: fc.constantFrom(null, 20, 45, 60),
          minimumOrderMinor: fc.constantFrom(0, 0, 25, 40),
        }),
      ),
    ),
    // More than is free, since what is all there is not bought to lift an order either.
    quantities: fc.tuple(fc.integer({ min: 3, max: 5 }), fc.integer({ min: 0, max: 3 })),
    free: fc.constantFrom(0, 0, 2),
    late: fc.constantFrom('never' as const, { perDayMinor: 1 }, { perDayMinor: 3 }),
    by: fc.constantFrom('2026-12-05', '2026-12-20'),
    secondBy: fc.constantFrom(null, '2026-12-04', '2026-12-20'),
    offers: fc.array(
      fc.record({
        at: fc.constantFrom(0, 1, 2, 3),
        pack: fc.constantFrom(1, 2, 3),
        minimum: fc.constantFrom(0, 0, 2, 4),
        price: fc.integer({ min: 8, max: 20 }),
        steps: fc.array(fc.record({ from: fc.integer({ min: 2, max: 7 }), off: fc.integer({ min: 1, max: 4 }) }), {
          maxLength: 2,
        }),
        breaks: fc.constantFrom('all-units' as const, 'incremental' as const),
      }),
      { minLength: 2, maxLength: 3 },
    ),
    kit: fc.option(fc.record({ supplier: fc.constantFrom(0, 1), price: fc.integer({ min: 8, max: 40 }) }), { freq: 4 }),
    isAlternative: fc.boolean(),
    budget: fc.option(fc.integer({ min: 20, max: 200 }), { freq: 3 }),
  })
  .map(({ suppliers, quantities, free, late, by, secondBy, offers, kit, isAlternative, budget }) => {
    const parts = ['belt', 'pin']
    const needs: SmallProblem['needs'] = quantities.flatMap((quantity, at) =>
      quantity === 0 ? [] : [{ id: `need ${at}`, part: parts[at]!, quantity, by, late }],
    )
    if (secondBy !== null) needs.push({ id: 'second', part: 'belt', quantity: 2, by: secondBy, late })
    const places = new Map(offers.map((one) => [one.at, one]))
    return {
      suppliers,
      parts: parts.map((id, at) => ({ id, free: at === 0 ? free : 0 })),
      needs,
      offers: [...places.values()].map(({ at, price, steps, pack, minimum, breaks }) => {
        const froms = new Map(steps.map(({ from, off }) => [from, Math.max(0, price - off)]))
        return {
          id: `offer ${at}`,
          supplier: suppliers[at % 2]!.id,
          part: parts[at >> 1]!,
          pack,
          minimum,
          breaks,
          prices: [
            { from: 1, priceMinor: price },
            ...[...froms].map(([from, priceMinor]) => ({ from, priceMinor })),
          ].sort((a, b) => a.from - b.from),
        }
      }),
      kits:
        kit === null
          ? []
          : [
              {
                id: 'set',
                supplier: suppliers[kit.supplier]!.id,
                holds: [
                  { part: 'belt', quantity: 1 },
                  { part: 'pin', quantity: 2 },
                ],
                prices: [{ from: 1, priceMinor: kit.price }],
              },
            ],
      alternatives: isAlternative ? [{ part: 'pin', fills: 'belt' }] : [],
      ...(budget === null ? {} : { budgetMinor: budget }),
    }
  })

/**
 * A part that one supplier sells only in packs that hold all of it, and another, who is needed for something else too, by the piece:
 * pieces that nobody needs may lift that order over its threshold.
 */
export const toppedProblem: fc.Arbitrary<SmallProblem> = fc
  .record({
    quantity: fc.integer({ min: 2, max: 3 }),
    pins: fc.integer({ min: 1, max: 3 }),
    packPrice: fc.integer({ min: 1, max: 5 }),
    piecePrice: fc.integer({ min: 4, max: 14 }),
    pinPrice: fc.integer({ min: 8, max: 20 }),
    carriageMinor: fc.constantFrom(7, 15, 40),
    carriagePaidFromMinor: fc.constantFrom(null, 20, 45, 60),
    minimumOrderMinor: fc.constantFrom(0, 0, 25),
  })
  .map(({ quantity, pins, packPrice, piecePrice, pinPrice, ...limits }) => {
    const sold = (supplier: string, part: string, pack: number, priceMinor: number): SmallOffer => ({
      id: `${part} from ${supplier}`,
      supplier,
      part,
      pack,
      minimum: 0,
      prices: [{ from: 1, priceMinor }],
      breaks: 'all-units',
    })
    const need = (part: string, count: number) => ({
      id: part,
      part,
      quantity: count,
      by: '2026-12-20',
      late: 'never' as const,
    })
    return {
      suppliers: [
        { id: 'Alder Vale', leadDays: 2, carriageMinor: 0, carriagePaidFromMinor: null, minimumOrderMinor: 0 },
        { id: 'Bramble & Co', leadDays: 2, ...limits },
      ],
      parts: ['belt', 'pin'].map((id) => ({ id, free: 0 })),
      needs: [need('belt', quantity), need('pin', pins)],
      offers: [
        sold('Alder Vale', 'belt', quantity, packPrice),
        sold('Bramble & Co', 'belt', 1, piecePrice),
        sold('Bramble & Co', 'pin', 1, pinPrice),
      ],
      kits: [],
      alternatives: [],
    }
  })

/** Price of a number of pieces by the words of a price list, piece by piece for incremental breaks. */
function piecesPrice(pieces: number, prices: SmallOffer['prices'], breaks: SmallOffer['breaks']): number {
  const priceAt = (piece: number) => prices.filter(({ from }) => from <= piece).at(-1)!.priceMinor
  if (breaks === 'all-units') return pieces * priceAt(pieces)
  let sum = 0
  // The break holds from its own quantity on, for what lies beyond it: piece 5 is the first beyond "from 4".
  for (let piece = 1; piece <= pieces; piece++) sum += piece === 1 ? prices[0]!.priceMinor : priceAt(piece - 1)
  return sum
}

/** Least lateness with which single pieces can be given to single wants; null where some want gets none. */
function lateness(
  problem: SmallProblem,
  supply: readonly { part: string; day: number; count: number }[],
): number | null {
  const stock = supply.map(({ part, day, count }) => ({ part, day, left: count }))
  const wants: { part: string; day: number; perDay: number | null }[] = problem.needs.flatMap(
    ({ part, quantity, by, late }) =>
      Array.from({ length: quantity }, () => ({
        part,
        day: dayOf(by),
        perDay: late === 'never' ? null : late.perDayMinor,
      })),
  )
  const known = new Map<string, number | null>()
  const rest = (at: number): number | null => {
    const want = wants[at]
    if (!want) return 0
    const key = `${at}:${stock.map(({ left }) => left).join()}`
    const before = known.get(key)
    if (before !== undefined) return before
    let best: number | null = null
    for (const one of stock) {
      const fits =
        one.part === want.part ||
        problem.alternatives.some(({ part, fills }) => part === one.part && fills === want.part)
      const late = Math.max(0, one.day - want.day)
      if (one.left === 0 || !fits || (late > 0 && want.perDay === null)) continue
      one.left -= 1
      const more = rest(at + 1)
      one.left += 1
      if (more === null) continue
      const cost = late * (want.perDay ?? 0) + more
      if (best === null || cost < best) best = cost
    }
    known.set(key, best)
    return best
  }
  return rest(0)
}

/** What no need can take is not ordered, not even to lift an order over its minimum. */
const mayFill = ({ needs, alternatives }: SmallProblem, part: string): boolean =>
  needs.some((need) => need.part === part || alternatives.some((one) => one.part === part && one.fills === need.part))

/** The cheapest of all sets of packs; null where none fills every need within the limits. */
export function bruteForce(problem: SmallProblem): number | null {
  const { offers, kits, suppliers } = problem
  const lines = [
    ...offers.map((one) => ({ ...one, holds: [{ part: one.part, quantity: one.pack }] })),
    ...kits.map((one) => ({ ...one, pack: 1, minimum: 0, breaks: 'all-units' as const })),
  ].filter(({ holds }) => holds.some(({ part }) => mayFill(problem, part)))
  let best: number | null = null
  const counts = lines.map(() => 0)
  const goods = new Map<string, number>(suppliers.map(({ id }) => [id, 0]))
  const look = () => {
    let cost = 0
    for (const { id, carriageMinor, carriagePaidFromMinor, minimumOrderMinor } of suppliers) {
      const used = lines.some(({ supplier }, at) => supplier === id && counts[at]! > 0)
      if (!used) continue
      const sum = goods.get(id)!
      if (sum < minimumOrderMinor) return
      cost += sum
      if (sum > 0 && (carriagePaidFromMinor === null || sum < carriagePaidFromMinor)) cost += carriageMinor
    }
    if (problem.budgetMinor !== undefined && cost > problem.budgetMinor) return
    if (best !== null && cost >= best) return
    const supply = [
      ...problem.parts.map(({ id, free }) => ({ part: id, day: 0, count: free })),
      ...lines.flatMap(({ supplier, holds }, at) =>
        holds.map(({ part, quantity }) => ({
          part,
          day: suppliers.find(({ id }) => id === supplier)!.leadDays,
          count: quantity * counts[at]!,
        })),
      ),
    ]
    const late = lateness(problem, supply)
    if (late !== null && (best === null || cost + late < best)) best = cost + late
  }
  const walk = (at: number): void => {
    const line = lines[at]
    if (!line) {
      look()
      return
    }
    for (let packs = 0; packs * line.pack < PIECES_MOST + line.pack; packs++) {
      const pieces = packs * line.pack
      if (packs > 0 && pieces < line.minimum) continue
      const price = packs === 0 ? 0 : piecesPrice(pieces, line.prices, line.breaks)
      const spent = [...goods.values()].reduce((sum, money) => sum + money, price)
      if (spent > Math.min(best ?? Infinity, problem.budgetMinor ?? Infinity)) continue
      counts[at] = packs
      goods.set(line.supplier, goods.get(line.supplier)! + price)
      walk(at + 1)
      goods.set(line.supplier, goods.get(line.supplier)! - price)
    }
    counts[at] = 0
  }
  walk(0)
  return best
}
