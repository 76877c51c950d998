'use client'

import { useCallback, useRef, useState } from 'react'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import type { RuleForm } from '@/lib/companion/rule-form.ts'
import { addRule, changeRule } from './actions.ts'
import { draftOf } from './ask.ts'
import { BenchRun } from './bench-run.tsx'
import type { Choice } from './choice.ts'
import { AmountFields, PerField, SaysFields, StageField, ThenFields, WhenFields } from './rule-fields.tsx'
import { TryFigure } from './try-figure.tsx'

interface Props {
  form: RuleForm
  formKey: string
  /** Null for a new rule. */
  ruleId: string | null
  /** The step of its history that is being changed. */
  seen: number
  /** A shipped rule keeps its condition. */
  isShipped: boolean
  rules: readonly Choice[]
  from: string
  to: string
}

/** The form of a rule, and beside it what it would do: on a figure while it is typed, on past jobs when asked. */
export function RuleEditor({ form, formKey, ruleId, seen, isShipped, rules, from, to }: Props) {
  const frame = useRef<HTMLDivElement>(null)
  const [edits, setEdits] = useState(0)
  const edited = useCallback(() => setEdits((count) => count + 1), [])
  const formOf = useCallback(() => frame.current?.querySelector('form') ?? null, [])
  const fields = (
    <>
      {isShipped ? (
        <ShippedFields form={form} />
      ) : (
        <>
          <WhenFields form={form} onEdited={edited} rules={rules} />
          <ThenFields form={form} onEdited={edited} />
        </>
      )}
      <SaysFields form={form} isShipped={isShipped} />
      <Field
        name="reason"
        label={ruleId ? 'Why it is changed' : 'Why it is added (may be left empty)'}
        maxLength={200}
      />
    </>
  )
  return (
    <div className="columns">
      <div ref={frame} onInput={edited} onChange={edited}>
        {ruleId ? (
          <ActionForm
            action={changeRule}
            formKey={formKey}
            hidden={{ ruleId, seen }}
            submit="Save the rule"
            aria-label="Rule"
          >
            {fields}
          </ActionForm>
        ) : (
          <ActionForm action={addRule} formKey={formKey} submit="Add the rule" aria-label="Rule">
            {fields}
          </ActionForm>
        )}
      </div>
      <div className="stack loose">
        <TryFigure formOf={formOf} ruleId={ruleId} edits={edits} />
        <BenchRun
          draftNow={() => {
            const now = formOf()
            return now ? draftOf(now, ruleId) : null
          }}
          from={from}
          to={to}
          names={Object.fromEntries(rules.map((rule) => [rule.value, rule.says]))}
        />
      </div>
    </div>
  )
}

/** What may be changed of a shipped rule beside its words. */
function ShippedFields({ form }: { form: RuleForm }) {
  if (form.then === 'consumable')
    return form.formula ? (
      <PerField form={form} />
    ) : (
      <fieldset className="stack">
        <legend>
          <h2>How much</h2>
        </legend>
        <AmountFields form={form} />
      </fieldset>
    )
  return form.then === 'act' ? <StageField form={form} /> : null
}
