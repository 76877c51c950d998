import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { TestContext } from 'vitest'

/**
 * Check values from outside the project lie beside the checkout in `shared/reference/` (or where COTTERBOOK_REFERENCE points).
 * They are not part of the tree, so a user's machine may not have them.
 */
const ROOT = process.env.COTTERBOOK_REFERENCE ?? fileURLToPath(new URL('../../../shared/reference/', import.meta.url))

export function referencePath(name: string): string | null {
  const path = `${ROOT.replace(/\/$/, '')}/${name}`
  return existsSync(path) ? path : null
}

/** The file's path; without it the test is skipped with a printed reason, and fails where CI=true. */
export function needReference(context: TestContext, name: string): string {
  const path = referencePath(name)
  if (path) return path
  const reason = `reference data ${name} is not beside this checkout`
  if (process.env.CI === 'true') throw new Error(`${reason}; CI must have it`)
  console.info(`skipped: ${reason}`)
  context.skip(reason)
  throw new Error(reason)
}

export interface HandbookCase {
  id: string
  area: string
  quantity: string
  inputs: Record<string, unknown>
  expected: unknown
  tolerance: 'exact' | 'property' | { abs?: number; rel?: number }
  unit: string
  source: string
  status: 'verified' | 'memory'
  note?: string
}

export function readHandbook(path: string): HandbookCase[] {
  return JSON.parse(readFileSync(path, 'utf8')) as HandbookCase[]
}
