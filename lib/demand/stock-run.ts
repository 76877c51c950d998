/** What a shelf went through while it was reviewed: sums over the periods that count, pieces of one part. */
export interface StockRun {
  wanted: number
  served: number
  periods: number
  /** Periods that ended without anybody waiting. */
  periodsMet: number
  /** Periods that ended with nothing on the shelf, whether anybody waited or not. */
  periodsEmpty: number
  /** Sum over the ends of the periods. */
  onHand: number
  waiting: number
  orders: number
}

export interface StockRunInput {
  /** Pieces wanted in each period, those before `from` included. */
  quantities: readonly number[]
  /** First period that counts. */
  from: number
  /** Order-up-to level as it stands at the end of period `at`, from `from` - 1 on; for earlier ones that of `from` - 1 is asked. */
  levelAt(at: number): number
  /** It is ordered once the position is no more than this; where it is not said, as soon as the position is below the level. */
  reorderAt?(at: number): number
  leadPeriods: number
  reviewPeriods: number
  /** The shelf full and nothing on order at the start, or as if the rule had been at work before. */
  start: 'full' | 'steady'
}

/**
 * Runs an order-up-to rule over demand that really was. Periods in turn: goods arrive, demand is served or waits, and at the
 * end of every `reviewPeriods`-th period the position (on hand + on order - waiting) is raised to the level, where it has come down
 * to the reorder point. An order raised at the end of period t is there at the start of period t + 1 + lead.
 */
export function stockRun(input: StockRunInput): StockRun {
  const { quantities, from, levelAt, reorderAt, leadPeriods, reviewPeriods, start } = input
  const run: StockRun = {
    wanted: 0,
    served: 0,
    periods: 0,
    periodsMet: 0,
    periodsEmpty: 0,
    onHand: 0,
    waiting: 0,
    orders: 0,
  }
  const begin = start === 'full' ? from : Math.max(0, from - 2 * (leadPeriods + reviewPeriods))
  const first = levelAt(from - 1)
  // Net of what is owed; below zero somebody waits.
  let net = first
  let position = first
  const arriving = new Map<number, number>()
  for (let at = begin; at < quantities.length; at++) {
    net += arriving.get(at) ?? 0
    arriving.delete(at)
    const wanted = quantities[at]!
    const counts = at >= from
    if (counts) {
      run.wanted += wanted
      run.served += Math.max(0, Math.min(wanted, net))
      run.periods += 1
    }
    net -= wanted
    position -= wanted
    if (counts) {
      if (net >= 0) {
        run.periodsMet += 1
        run.onHand += net
      } else run.waiting -= net
      if (net <= 0) run.periodsEmpty += 1
    }
    // Reviews are counted from the last one before the part that counts.
    const isReview = (at - (from - 1)) % reviewPeriods === 0
    if (!isReview) continue
    const level = levelAt(Math.max(at, from - 1))
    if (position >= level || (reorderAt && position > reorderAt(Math.max(at, from - 1)))) continue
    const due = at + 1 + leadPeriods
    arriving.set(due, (arriving.get(due) ?? 0) + level - position)
    position = level
    if (counts) run.orders += 1
  }
  return run
}
