import { ORIGIN_SAYS, type RuleEntry } from '@/lib/companion/rule-book.ts'

/** How strongly, whose rule, and whether it is on: each by its word. */
export function RuleBadges({ entry }: { entry: RuleEntry }) {
  return (
    <span className="row">
      <span className={`strength ${entry.rule.strength}`}>{entry.rule.strength}</span>
      <span className="badge">{entry.origin === 'shipped' ? 'shipped' : ORIGIN_SAYS[entry.origin]}</span>
      {entry.state === 'off' ? <span className="badge">✕ off</span> : null}
    </span>
  )
}
