import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { type PageQuery, queryText } from '@/app/_parts/query.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type RuleEntry, rulesMatching } from '@/lib/companion/rule-book.ts'
import { FAMILIES, STRENGTHS } from '@/lib/companion/rule-terms.ts'
import { FAMILY_SAYS, ruleSays } from '@/lib/companion/rule-words.ts'
import { ruleBookNow } from '@/lib/db/companion-rule.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { RuleBadges } from './badges.tsx'

export const metadata: Metadata = { title: 'Rules of what a job also needs' }

export default async function RulesPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const asked = await searchParams
  const [q, family, state, origin, strength] = ['q', 'family', 'state', 'origin', 'strength'].map((name) =>
    queryText(asked[name]),
  ) as [string, string, string, string, string]
  const book = await ruleBookNow()
  const entries = rulesMatching(
    book.entries.map((entry) => ({ ...entry, says: ruleSays(entry.rule) })),
    { q, family, state, origin, strength },
  )
  return (
    <main className="page narrow stack loose" id="page">
      <header className="page-head">
        <div>
          <p className="over">When this is renewed or comes off, that is needed too</p>
          <h1>Rules of what a job also needs</h1>
        </div>
        <div className="row">
          <Link className="button" href={paths.ruleBench()} prefetch={false}>
            Past jobs
          </Link>
          {mayDo(who.roles, 'rules.change') ? (
            <Link className="button primary" href={paths.ruleNew()} prefetch={false}>
              Add a rule
            </Link>
          ) : null}
        </div>
      </header>
      {mayDo(who.roles, 'rules.change') ? null : <MayNot right="rules.change" />}
      {book.faulty.length > 0 ? (
        <section className="alert" aria-labelledby="faulty">
          <h2 id="faulty">No longer applied</h2>
          <ul>
            {book.faulty.map((one) => (
              <li key={one.ruleId}>
                {one.ruleId}: {one.why}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      <form action={paths.rules()} className="stack" aria-label="Find rules">
        <div className="row end">
          <div className="field">
            <label htmlFor="rule-q">Word or part</label>
            <input id="rule-q" type="search" name="q" defaultValue={q} />
          </div>
          <button type="submit" className="button primary">
            Find
          </button>
        </div>
        <details open={Boolean(family || state || origin || strength)}>
          <summary className="button">Narrow</summary>
          <div className="columns">
            <Narrow
              name="family"
              label="Group"
              value={family}
              options={FAMILIES.map((one) => [one, FAMILY_SAYS[one]])}
            />
            <Narrow
              name="strength"
              label="How strongly"
              value={strength}
              options={STRENGTHS.map((one) => [one, one])}
            />
            <Narrow
              name="origin"
              label="Whose"
              value={origin}
              options={[
                ['own', 'of this workshop'],
                ['changed', 'changed by this workshop'],
                ['shipped', 'shipped'],
              ]}
            />
            <Narrow
              name="state"
              label="On or off"
              value={state}
              options={[
                ['on', 'on'],
                ['off', 'off'],
              ]}
            />
          </div>
        </details>
      </form>
      <p role="status">{counted(entries.length, 'rule')}</p>
      {FAMILIES.map((one) => (
        <Family key={one} title={FAMILY_SAYS[one]} entries={entries.filter((entry) => entry.rule.family === one)} />
      ))}
    </main>
  )
}

function Narrow(props: { name: string; label: string; value: string; options: [string, string][] }) {
  const { name, label, value, options } = props
  return (
    <div className="field">
      <label htmlFor={`rule-${name}`}>{label}</label>
      <select id={`rule-${name}`} name={name} defaultValue={value}>
        <option value="">any</option>
        {options.map(([one, says]) => (
          <option key={one} value={one}>
            {says}
          </option>
        ))}
      </select>
    </div>
  )
}

function Family({ title, entries }: { title: string; entries: (RuleEntry & { says: string })[] }) {
  if (entries.length === 0) return null
  return (
    <section className="stack" aria-labelledby={`family-${entries[0]!.rule.family}`}>
      <h2 id={`family-${entries[0]!.rule.family}`}>{title}</h2>
      <ul className="plain-list stack">
        {entries.map((entry) => (
          <li className="sheet stack tight" key={entry.rule.id}>
            <p>
              <Link className="strong" href={paths.rule(entry.rule.id)} prefetch={false}>
                {entry.rule.words}
              </Link>
            </p>
            <p className="small">{entry.says}</p>
            <RuleBadges entry={entry} />
          </li>
        ))}
      </ul>
    </section>
  )
}
