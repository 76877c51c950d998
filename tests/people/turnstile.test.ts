import { expect, test } from 'vitest'
import { turnstile } from '../../lib/people/turnstile.ts'

/** Work that ends when told to. */
function held() {
  let end = () => {}
  const until = new Promise<void>((resolve) => {
    end = resolve
  })
  return { end, until }
}

test('of 64 who come at once two are let in at a time, and all are served in the order they came', async () => {
  const pass = turnstile(2, 100)
  let inside = 0
  let most = 0
  const served: number[] = []
  await Promise.all(
    Array.from({ length: 64 }, (_, at) =>
      pass(async () => {
        inside += 1
        most = Math.max(most, inside)
        await new Promise((resolve) => setImmediate(resolve))
        served.push(at)
        inside -= 1
      }),
    ),
  )
  expect(most).toBe(2)
  expect(served).toEqual(Array.from({ length: 64 }, (_, at) => at))
})

test('whoever comes when all places to wait are taken hears so at once', async () => {
  const pass = turnstile(1, 1)
  const first = held()
  const running = pass(() => first.until)
  const waiting = pass(async () => 'served')
  await expect(pass(async () => 'third')).rejects.toMatchObject({ code: 'people/busy', status: 503 })
  first.end()
  await running
  expect(await waiting).toBe('served')
})

test('work that fails gives its place back', async () => {
  const pass = turnstile(1, 5)
  await expect(pass(() => Promise.reject(new Error('broken')))).rejects.toThrow('broken')
  expect(await pass(async () => 'next')).toBe('next')
})
