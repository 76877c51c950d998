import type { Metadata } from 'next'
import Link from 'next/link'
import { type PageQuery, queryText } from '@/app/_parts/query.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { ruleBookNow } from '@/lib/db/companion-rule.ts'
import { lastYear } from '../year.ts'
import { SwitchBench } from './switch-bench.tsx'

export const metadata: Metadata = { title: 'Rules on past jobs' }

export default async function BenchPage({ searchParams }: { searchParams: PageQuery }) {
  await signedIn()
  const off = queryText((await searchParams).off)
  const book = await ruleBookNow()
  const entry = book.entries.find((one) => one.rule.id === off)
  return (
    <main className="page stack" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.rules()}>Rules of what a job also needs</Link>
          </p>
          <h1>Rules on past jobs</h1>
        </div>
      </header>
      {entry ? (
        <p>
          As if this rule were {entry.state === 'on' ? 'off' : 'on'}:{' '}
          <Link href={paths.rule(entry.rule.id)}>{entry.rule.words}</Link>
        </p>
      ) : null}
      <SwitchBench
        draft={entry ? { kind: 'switch', ruleId: entry.rule.id, state: entry.state === 'on' ? 'off' : 'on' } : null}
        names={Object.fromEntries(book.known.map((rule) => [rule.id, rule.words]))}
        {...lastYear(new Date())}
      />
    </main>
  )
}
