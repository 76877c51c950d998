import type { Doubt, ReadCallout, ReadRow } from './schema.ts'

/** A callout below this is marked for a person. */
const SURE = 0.75
/** A number that is in no row, has no leader and was hard to read is a dimension or dirt. */
const NOTHING = 0.5
/** From so many rows the list is taken to be whole enough to judge by. */
const ROWS_MIN = 3

function withDoubt<T extends { doubts: Doubt[] }>(one: T, doubt: Doubt): T {
  return one.doubts.includes(doubt) ? one : { ...one, doubts: [...one.doubts, doubt] }
}

/**
 * Lets drawing and parts list check each other: what stands in only one of them, what stands on the drawing more than once,
 * what was hard to read or has no leader is marked for a person. Nothing is corrected here, and only a number without row,
 * without leader and hardly legible is left out.
 */
export function crossChecked(
  callouts: readonly ReadCallout[],
  rows: readonly ReadRow[],
): { callouts: ReadCallout[]; rows: ReadRow[] } {
  const listed = new Set(rows.map((row) => row.item).filter((item) => item !== ''))
  const judged = listed.size >= ROWS_MIN
  const kept = callouts.filter(
    (one) => !(judged && !listed.has(one.item) && one.tips.length === 0 && one.confidence < NOTHING),
  )
  const times = new Map<string, number>()
  for (const one of kept) times.set(one.item, (times.get(one.item) ?? 0) + 1)
  return {
    callouts: kept.map((one) => {
      let marked = { ...one, doubts: [...one.doubts] }
      if (one.confidence < SURE) marked = withDoubt(marked, 'hard-to-read')
      if (one.tips.length === 0) marked = withDoubt(marked, 'no-leader')
      if (listed.size > 0 && !listed.has(one.item)) marked = withDoubt(marked, 'no-row')
      if ((times.get(one.item) ?? 0) > 1) marked = withDoubt(marked, 'more-than-once')
      return marked
    }),
    rows: rows.map((row) =>
      row.item !== '' && kept.length > 0 && !times.has(row.item) ? withDoubt({ ...row }, 'no-callout') : row,
    ),
  }
}
