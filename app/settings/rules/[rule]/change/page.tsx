import type { Metadata } from 'next'
import Link from 'next/link'
import { found } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { ruleFormOf } from '@/lib/companion/rule-form.ts'
import { ruleSays } from '@/lib/companion/rule-words.ts'
import { ruleBookNow, ruleEntry, ruleSteps } from '@/lib/db/companion-rule.ts'
import { mayDo } from '@/lib/people/role.ts'
import { RuleEditor } from '../../editor.tsx'
import { lastYear } from '../../year.ts'

export const metadata: Metadata = { title: 'Change a rule' }

export default async function RuleChangePage({ params }: { params: Promise<{ rule: string }> }) {
  const who = await signedIn()
  const { rule: id } = await params
  const book = await ruleBookNow()
  const entry = await found(Promise.resolve().then(() => ruleEntry(book, id)))
  const [last] = await ruleSteps(id)
  return (
    <main className="page stack" id="page">
      <header className="page-head">
        <div className="stack tight">
          <p className="over">
            <Link href={paths.rule(id)}>{entry.rule.words}</Link>
          </p>
          <h1>Change a rule</h1>
        </div>
      </header>
      {entry.shipped ? (
        <p>
          {ruleSays(entry.rule)} The condition of a shipped rule stays; for another one, switch it off and{' '}
          <Link href={paths.ruleNew({ like: id })}>make one like it</Link>.
        </p>
      ) : null}
      {mayDo(who.roles, 'rules.change') ? (
        <RuleEditor
          form={ruleFormOf(entry.rule)}
          formKey={freshKey()}
          ruleId={id}
          seen={last?.id ?? 0}
          isShipped={entry.shipped !== null}
          rules={book.known.map((rule) => ({ value: rule.id, says: rule.words }))}
          {...lastYear(new Date())}
        />
      ) : (
        <MayNot right="rules.change" />
      )}
    </main>
  )
}
