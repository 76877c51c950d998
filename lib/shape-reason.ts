import type { z } from 'zod'

const KINDS: Record<string, string> = {
  number: 'a number',
  int: 'a whole number',
  string: 'a text',
  boolean: 'true or false',
  array: 'a list',
  object: 'an object',
}

/** How the messages of zod itself begin; others were written for their field and say more than any rule can. */
export const ZOD_OWN = /^(Invalid|Too (small|big)|Unrecognized)/

/** Long values are cut where a sentence is to stay readable. */
const VALUE_LETTERS = 40

/**
 * What is wrong with a value of a file that somebody wrote by hand, in words that go behind the name of its field: "is missing",
 * "must be a number". `file` names the kind of file where it has a field that nobody knows.
 */
export function shapeReason(issue: z.core.$ZodIssue, value: unknown, file: string): string {
  const written = issue.message.charAt(0).toLowerCase() + issue.message.slice(1)
  if (!ZOD_OWN.test(issue.message)) return written
  if (issue.code === 'unrecognized_keys') return `has ${issue.keys.join(', ')}, which ${file} does not know`
  if (issue.code === 'invalid_type') {
    if (value === undefined) return 'is missing'
    const wanted = KINDS[issue.expected]
    if (wanted) return `must be ${wanted}, not ${(JSON.stringify(value) ?? String(value)).slice(0, VALUE_LETTERS)}`
  }
  if (issue.code === 'too_small') {
    if (issue.origin === 'string' || issue.origin === 'array') return 'is empty'
    return `too small, it must be ${issue.inclusive ? 'at least' : 'above'} ${issue.minimum}`
  }
  if (issue.code === 'too_big') {
    const unit = issue.origin === 'string' ? ' letters' : issue.origin === 'array' ? ' entries' : ''
    return `too ${issue.origin === 'string' ? 'long' : 'many or too large'}, at most ${issue.maximum}${unit}`
  }
  if (issue.code === 'invalid_value') {
    const values = issue.values.map(String).slice(0, 12)
    return `must be ${values.length === 1 ? '' : 'one of '}${values.join(', ')}`
  }
  if (issue.code === 'invalid_format' && issue.format === 'date')
    return `must be a date such as 2026-11-16, not ${JSON.stringify(value).slice(0, VALUE_LETTERS)}`
  return written
}

/** The value that an issue speaks of. */
export function shapeValue(path: readonly PropertyKey[], json: unknown): unknown {
  return path.reduce<unknown>(
    (value, key) => (typeof value === 'object' && value !== null ? Reflect.get(value, key) : undefined),
    json,
  )
}
