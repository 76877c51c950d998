import table from './wheel-nut.json'

/** When wheel nuts are checked again after the wheel was off. */
export const WHEEL_NUT_RECHECK = { ...table.recheck, source: table.source, field: table.field }

function circleGap(a: number, b: number, around: number): number {
  const gap = Math.abs(a - b) % around
  return Math.min(gap, around - gap)
}

/**
 * Cross pattern for n studs numbered 1 to n clockwise: from one stud to the one across, so that the wheel is drawn in square.
 * Odd n is a star with the widest step; even n takes opposite pairs, each pair as far as may be from those already tight.
 * From five studs on, no stud follows its neighbour. Common practice, no source. Example: 6 studs are 1 4 2 5 3 6.
 */
export function wheelNutSequence(studs: number): number[] {
  if (!Number.isInteger(studs) || studs < 2) throw new RangeError(`A wheel has at least two studs, not ${studs}.`)
  if (studs % 2 === 1)
    return Array.from({ length: studs }, (_, i) => ((i * (studs - 1)) / 2) % studs).map((stud) => stud + 1)
  const half = studs / 2
  const starts = [0]
  while (starts.length < half) {
    const left = Array.from({ length: half }, (_, k) => k).filter((k) => !starts.includes(k))
    const across = starts.at(-1)! + half
    const apart = left.filter((k) => circleGap(k, across, studs) > 1)
    const roomOf = (k: number) => Math.min(...starts.map((done) => circleGap(k, done, half)))
    starts.push((apart.length ? apart : left).reduce((best, k) => (roomOf(k) > roomOf(best) ? k : best)))
  }
  return starts.flatMap((k) => [k + 1, k + half + 1])
}

/** Torques in N m of the stages: about a third, two thirds, full, then once round at full in the same order. */
export function wheelNutStages(torqueNm: number): { torqueNm: number; sequence: 'cross' }[] {
  return table.stages.shares.map((share) => ({
    torqueNm: share === 1 ? torqueNm : Math.round(torqueNm * share),
    sequence: 'cross',
  }))
}
