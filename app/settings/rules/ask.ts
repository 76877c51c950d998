import { formObject } from '@/app/_server/form-data.ts'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { RuleDraft } from '@/lib/companion/rule-form.ts'

/** What the form holds at this moment, as a draft to try. Of a form only texts are sent. */
export function draftOf(form: HTMLFormElement, ruleId: string | null): RuleDraft {
  const values = formObject(new FormData(form)) as Record<string, string | string[]>
  return { kind: 'form', ...(ruleId ? { ruleId } : {}), form: values as unknown as RuleFormSent }
}

type RuleFormSent = Extract<RuleDraft, { kind: 'form' }>['form']

/** Sends a question and answers its answer; what is refused comes back as one sentence. */
export async function ask<A>(address: string, body: unknown, signal?: AbortSignal): Promise<A> {
  const answer = await fetch(address, {
    method: 'POST',
    headers: { 'content-type': 'application/json', 'idempotency-key': freshKey() },
    body: JSON.stringify(body),
    ...(signal ? { signal } : {}),
  })
  const said = (await answer.json()) as A & { detail?: string; refused?: string }
  if (!answer.ok) throw new RangeError(said.detail ?? 'It could not be tried.')
  if (said.refused) throw new RangeError(said.refused)
  return said
}
