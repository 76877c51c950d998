import type { Metadata } from 'next'
import Link from 'next/link'
import { found } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import type { RuleEntry } from '@/lib/companion/rule-book.ts'
import { ruleSays } from '@/lib/companion/rule-words.ts'
import { type RuleStep, ruleBookNow, ruleEntry, ruleSteps } from '@/lib/db/companion-rule.ts'
import { mayDo } from '@/lib/people/role.ts'
import { backToShipped, switchRule } from '../actions.ts'
import { RuleBadges } from '../badges.tsx'

export const metadata: Metadata = { title: 'Rule' }

const ACT_SAYS: Record<RuleStep['act'], string> = {
  added: 'added',
  changed: 'changed',
  off: 'switched off',
  on: 'switched on again',
  back: 'set back to the shipped rule',
}

export default async function RulePage({ params }: { params: Promise<{ rule: string }> }) {
  const who = await signedIn()
  const { rule: id } = await params
  const entry = await found(ruleBookNow().then((book) => ruleEntry(book, id)))
  const steps = await ruleSteps(id)
  const mayChange = mayDo(who.roles, 'rules.change')
  return (
    <main className="page narrow stack loose" id="page">
      <header className="page-head">
        <div className="stack tight">
          <p className="over">
            <Link href={paths.rules()}>Rules of what a job also needs</Link>
          </p>
          <h1>{entry.rule.words}</h1>
          <RuleBadges entry={entry} />
        </div>
      </header>
      <RuleInWords entry={entry} />
      {mayChange ? (
        <div className="row">
          <Link className="button primary" href={paths.ruleChange(id)} prefetch={false}>
            Change
          </Link>
          <Link className="button" href={paths.ruleNew({ like: id })} prefetch={false}>
            Make another one like it
          </Link>
          <Link className="button quiet" href={paths.ruleBench({ off: id })} prefetch={false}>
            What past jobs would lack without it
          </Link>
        </div>
      ) : (
        <MayNot right="rules.change" />
      )}
      {mayChange ? <SwitchForms entry={entry} seen={steps[0]?.id ?? 0} /> : null}
      <section className="stack tight" aria-labelledby="history">
        <h2 id="history">History</h2>
        {steps.length === 0 ? <p className="empty">As shipped; nobody has changed it.</p> : null}
        <ol className="plain-list stack">
          {steps.map((step, at) => (
            <li key={step.id} className="stack tight">
              <p>
                <When at={step.at} time /> {step.by}: {ACT_SAYS[step.act]}
                {step.reason ? `, ${step.reason}` : ''}
              </p>
              <Before step={step} before={steps[at + 1]?.rule ?? entry.shipped} />
            </li>
          ))}
        </ol>
      </section>
    </main>
  )
}

function RuleInWords({ entry }: { entry: RuleEntry }) {
  const { rule, shipped, origin } = entry
  return (
    <section className="sheet stack tight" aria-label="The rule in plain words">
      <p>
        {ruleSays(rule)} Because: {rule.words}
      </p>
      <p className="soft">Source: {rule.source}</p>
      {origin === 'changed' && shipped ? (
        <p className="small">
          Shipped: <span className={`strength ${shipped.strength}`}>{shipped.strength}</span> {shipped.words}{' '}
          {ruleSays(shipped) === ruleSays(rule) ? '' : ruleSays(shipped)}
        </p>
      ) : null}
    </section>
  )
}

/** What a change took the place of. */
function Before({ step, before }: { step: RuleStep; before: RuleEntry['rule'] | null }) {
  if ((step.act !== 'changed' && step.act !== 'back') || !before) return null
  return (
    <p className="small soft">
      Before: {before.strength}, {before.words} {ruleSays(before)} Source: {before.source}
    </p>
  )
}

function SwitchForms({ entry, seen }: { entry: RuleEntry; seen: number }) {
  const { rule, state, origin } = entry
  const isGrave = rule.strength === 'must' || rule.family === 'protection' || rule.family === 'torque'
  return (
    <section className="stack" aria-label="On and off">
      <details>
        <summary className="button">{state === 'on' ? 'Switch off' : 'Switch on again'}</summary>
        <div className="stack">
          {state === 'on' && isGrave ? (
            <p className="caution">
              <span aria-hidden="true">⚠ </span>This is asked for so that nobody is hurt and nothing comes loose. Off,
              it is no longer said on any job: the maker’s manual, local rules and qualified people still ask for it.
            </p>
          ) : null}
          <ActionForm
            action={switchRule}
            formKey={freshKey()}
            hidden={{ ruleId: rule.id, seen, state: state === 'on' ? 'off' : 'on' }}
            submit={state === 'on' ? 'Switch it off' : 'Switch it on'}
            aria-label={state === 'on' ? 'Switch the rule off' : 'Switch the rule on'}
          >
            <Field name="reason" label="Why" maxLength={200} />
          </ActionForm>
        </div>
      </details>
      {origin === 'changed' ? (
        <details>
          <summary className="button">Back to the shipped rule</summary>
          <ActionForm
            action={backToShipped}
            formKey={freshKey()}
            hidden={{ ruleId: rule.id, seen }}
            submit="Set it back"
            aria-label="Back to the shipped rule"
          >
            <Field name="reason" label="Why" maxLength={200} />
          </ActionForm>
        </details>
      ) : null}
    </section>
  )
}
