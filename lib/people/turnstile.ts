import { Refusal } from '../refusal.ts'

/**
 * Lets at most `atOnce` pieces of work run together and at most `waitingMax` wait, first come first served; whoever comes
 * after that hears people/busy. Work that takes much memory must not be started as often as somebody asks for it.
 */
export function turnstile(atOnce: number, waitingMax: number): <T>(work: () => Promise<T>) => Promise<T> {
  let running = 0
  const waiting: (() => void)[] = []

  return async function pass(work) {
    if (running < atOnce) {
      running += 1
    } else {
      if (waiting.length >= waitingMax) throw new Refusal('people/busy')
      // The one who leaves hands its place over, so `running` stays as it is.
      await new Promise<void>((resolve) => waiting.push(resolve))
    }
    try {
      return await work()
    } finally {
      const next = waiting.shift()
      if (next) next()
      else running -= 1
    }
  }
}
