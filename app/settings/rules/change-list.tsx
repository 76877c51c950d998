import type { ChangeShown } from '@/lib/companion/try-says.ts'

const SIGN = { added: '+ added', removed: '- taken away', changed: '~ changed', same: '= as now' } as const

/** What a draft would ask for beside the present rules; each change by sign and word. */
export function ChangeList({ changes }: { changes: readonly ChangeShown[] }) {
  return (
    <ul className="plain-list stack tight">
      {changes.map((change) => (
        <li key={`${change.kind} ${change.key}`} className={change.kind === 'same' ? 'soft' : undefined}>
          <span className="badge">{SIGN[change.kind]}</span>{' '}
          <span className={`strength ${change.strength}`}>{change.strength}</span>{' '}
          {change.kind === 'removed' ? <s>{change.says}</s> : change.says}
          {change.was ? <span className="small soft"> (now: {change.was})</span> : null}
        </li>
      ))}
    </ul>
  )
}
