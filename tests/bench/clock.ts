import { performance } from 'node:perf_hooks'

/** Milliseconds of each of `rounds` calls, in the order they were made. */
export async function timeEach(rounds: number, run: (round: number) => Promise<unknown>): Promise<number[]> {
  const times: number[] = []
  for (let round = 0; round < rounds; round++) {
    const began = performance.now()
    await run(round)
    times.push(performance.now() - began)
  }
  return times
}

/** Milliseconds of work of each call besides its time: what it would take on a machine that does nothing else. */
export async function workEach(
  rounds: number,
  run: (round: number) => Promise<unknown>,
): Promise<{ times: number[]; works: number[] }> {
  const works: number[] = []
  const times = await timeEach(rounds, async (round) => {
    const before = process.cpuUsage()
    await run(round)
    const { user, system } = process.cpuUsage(before)
    works.push((user + system) / 1000)
  })
  return { times, works }
}

/** Two ways of doing the same, turn about, so that a busy moment of the machine falls on both. */
export async function timePair(
  rounds: number,
  first: (round: number) => Promise<unknown>,
  second: (round: number) => Promise<unknown>,
): Promise<[number[], number[]]> {
  const times: [number[], number[]] = [[], []]
  for (let round = 0; round < rounds; round++) {
    const order = round % 2 === 0 ? ([0, 1] as const) : ([1, 0] as const)
    for (const which of order) {
      const [time] = await timeEach(1, () => (which === 0 ? first(round) : second(round)))
      times[which].push(time!)
    }
  }
  return times
}

/** The value below which `share` of the times lie (nearest rank). */
export function percentile(times: readonly number[], share: number): number {
  if (times.length === 0) throw new RangeError('percentile: no times')
  const sorted = [...times].sort((a, b) => a - b)
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)]!
}

export const total = (times: readonly number[]): number => times.reduce((sum, time) => sum + time, 0)
