import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { type PageQuery, queryText } from '@/app/_parts/query.ts'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { RULE_FORM_EMPTY, ruleFormOf } from '@/lib/companion/rule-form.ts'
import { ruleBookNow } from '@/lib/db/companion-rule.ts'
import { mayDo } from '@/lib/people/role.ts'
import { RuleEditor } from '../editor.tsx'
import { lastYear } from '../year.ts'

export const metadata: Metadata = { title: 'Add a rule' }

export default async function RuleNewPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const like = queryText((await searchParams).like)
  const book = await ruleBookNow()
  const entry = book.entries.find((one) => one.rule.id === like)
  return (
    <main className="page stack" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.rules()}>Rules of what a job also needs</Link>
          </p>
          <h1>Add a rule</h1>
        </div>
      </header>
      {mayDo(who.roles, 'rules.change') ? (
        <RuleEditor
          form={entry ? ruleFormOf(entry.rule) : RULE_FORM_EMPTY}
          formKey={freshKey()}
          ruleId={null}
          seen={0}
          isShipped={false}
          rules={book.known.map((rule) => ({ value: rule.id, says: rule.words }))}
          {...lastYear(new Date())}
        />
      ) : (
        <MayNot right="rules.change" />
      )}
    </main>
  )
}
