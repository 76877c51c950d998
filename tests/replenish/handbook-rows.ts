import { expect, type TestContext } from 'vitest'
import { type HandbookCase, needReference, readHandbook } from '../support/reference.ts'

/** Worked examples whose id begins so; at least one, or the test says that it has nothing to check. */
export function rowsOf(context: TestContext, prefix: string): HandbookCase[] {
  const rows = readHandbook(needReference(context, 'handbook.json')).filter((row) => row.id.startsWith(prefix))
  expect(rows.length, `worked examples ${prefix}`).toBeGreaterThan(0)
  return rows
}

/** Every number of `expected` stands in `found`, as near as the example allows. */
export function near(found: unknown, expected: unknown, tolerance: HandbookCase['tolerance']): void {
  if (typeof expected === 'number') {
    const value = found as number
    const { abs = 0, rel = 1e-9 } = typeof tolerance === 'object' ? { rel: 0, ...tolerance } : {}
    expect(Math.abs(value - expected), `${value} for ${expected}`).toBeLessThanOrEqual(abs + rel * Math.abs(expected))
    return
  }
  for (const [key, value] of Object.entries(expected as Record<string, unknown>))
    near((found as Record<string, unknown>)[key], value, tolerance)
}
