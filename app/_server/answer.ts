import type { z } from 'zod'
import { Refusal } from '@/lib/refusal.ts'
import { ZOD_OWN } from '@/lib/shape-reason.ts'

/** An action that did nothing, and why. */
export interface ActionRefused {
  ok: false
  /** Code of the refusal; `fault` when the program itself failed. */
  code: string
  happened: string
  next: string
  /** Field name to message. */
  fields: Record<string, string>
  /** Row-by-row faults of an import. */
  faults: readonly string[]
  /** What the person typed, so that nothing has to be typed again; without PINs and passwords. */
  values: Record<string, string | string[]>
}

export interface ActionDone<T> {
  ok: true
  answer: T
  /** A sentence for the screen: what was done. */
  says: string | null
  /** Key of the write that was answered; the form makes a new one for the next. */
  key: string
}

/** What a form shows after it was sent; null before. */
export type ActionState<T> = ActionRefused | ActionDone<T> | null

type Values = ActionRefused['values']

export function refusedState(refusal: Refusal, values: Values): ActionRefused {
  const { code, happened, next, fields, faults } = refusal
  return { ok: false, code, happened, next, fields, faults, values }
}

/** The person gets a number to quote; the cause is in the log under it and nowhere else. */
export function faultState(reference: string, values: Values): ActionRefused {
  return {
    ok: false,
    code: 'fault',
    happened: `Something went wrong in the program. Reference ${reference}.`,
    next: 'Nothing was changed unless the screen shows it. Reload and look before you send it again.',
    fields: {},
    faults: [],
    values,
  }
}

function issueSentence(issue: z.core.$ZodIssue): string {
  if (!ZOD_OWN.test(issue.message)) return issue.message
  return issue.code === 'invalid_type' && / undefined$/.test(issue.message) ? 'fill this in' : 'this cannot be used'
}

/** The first thing wrong with each field, as one refusal. */
export function inputRefusal(issues: readonly z.core.$ZodIssue[]): Refusal {
  const fields: Record<string, string> = {}
  for (const issue of issues) fields[issue.path.join('.')] ??= issueSentence(issue)
  const what = [...new Set(Object.values(fields))].join('; ')
  return new Refusal('input/invalid', { what: `${what}.` }, { fields })
}
