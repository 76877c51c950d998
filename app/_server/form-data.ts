import type { z } from 'zod'

export type FormValue = FormDataEntryValue | FormDataEntryValue[]

/** Name of the hidden field with the idempotency key. */
export const KEY_FIELD = 'key'

/** Fields that React and Next add to carry the action itself. */
const CARRIER = /^\$ACTION/
/** Never sent back to the browser. */
const SECRET = /^(secret|token)/i

/**
 * A form as a plain object: one field of a name is its value, several are a list in the order of the form. A name that ends in
 * `[]` is a list however many there are, and loses the brackets. The key and the carrier fields are left out.
 */
export function formObject(form: FormData): Record<string, FormValue> {
  const object = new Map<string, FormValue>()
  for (const [name, value] of form) {
    if (name === KEY_FIELD || CARRIER.test(name)) continue
    const isList = name.endsWith('[]')
    const field = isList ? name.slice(0, -2) : name
    const before = object.get(field)
    if (before === undefined) object.set(field, isList ? [value] : value)
    else object.set(field, Array.isArray(before) ? [...before, value] : [before, value])
  }
  return Object.fromEntries(object)
}

/** What was typed, to fill the form again: text only, without PINs, passwords and files. */
export function formValues(object: Record<string, FormValue>): Record<string, string | string[]> {
  const values: Record<string, string | string[]> = {}
  for (const [name, value] of Object.entries(object)) {
    if (SECRET.test(name)) continue
    const texts = (Array.isArray(value) ? value : [value]).filter((one) => typeof one === 'string')
    if (Array.isArray(value)) values[name] = texts
    else if (texts[0] !== undefined) values[name] = texts[0]
  }
  return values
}

const isEmpty = (value: FormValue) => value === '' || (value instanceof File && value.size === 0 && value.name === '')

export type FormRead<T> = { success: true; data: T } | { success: false; issues: readonly z.core.$ZodIssue[] }

/**
 * Reads a form with its schema. A field left empty is a field not given: read as text it would become the number 0, and a count
 * left blank would empty the bin. Where the schema insists on text, the empty text is handed in after all.
 */
export function formRead<S extends z.ZodType>(schema: S, object: Record<string, FormValue>): FormRead<z.output<S>> {
  const given = Object.fromEntries(Object.entries(object).filter(([, value]) => !isEmpty(value)))
  const first = schema.safeParse(given)
  if (first.success) return { success: true, data: first.data }
  const asText = first.error.issues.flatMap((issue) => {
    const name = issue.path[0]
    const wantsText = issue.path.length === 1 && issue.code === 'invalid_type' && issue.expected === 'string'
    return wantsText && typeof name === 'string' && object[name] === '' ? [name] : []
  })
  if (asText.length === 0) return { success: false, issues: first.error.issues }
  const second = schema.safeParse({ ...given, ...Object.fromEntries(asText.map((name) => [name, ''])) })
  if (second.success) return { success: true, data: second.data }
  // A field that must not be empty keeps the sentence the schema has for a missing one.
  const missing = new Map(first.error.issues.map((issue) => [issue.path.join('.'), issue.message]))
  const issues = second.error.issues.map((issue) => {
    const message = asText.includes(issue.path.join('.')) ? missing.get(issue.path.join('.')) : undefined
    return message === undefined || message.startsWith('Invalid input') ? issue : { ...issue, message }
  })
  return { success: false, issues }
}
