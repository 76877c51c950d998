import type { ReactNode } from 'react'
import type { NeedGroup } from '@/lib/job/need-rows.ts'
import { NeedRow, type RowProps } from './need-row.tsx'
import styles from './needed.module.css'
import { GROUP_SAYS } from './row-says.ts'

/** What is open in the order of its strength; what may be considered and what is answered fold away. */
export function NeedGroupList({ group, rows, children }: { group: NeedGroup; rows: RowProps[]; children?: ReactNode }) {
  const open = rows.filter(({ row }) => row.state === 'open')
  const asked = open.filter(({ row }) => row.strength !== 'consider')
  const consider = open.filter(({ row }) => row.strength === 'consider')
  const answered = rows.filter(({ row }) => row.state !== 'open')
  return (
    <section id={group} className={styles.group} aria-labelledby={`${group}-head`}>
      <div className={styles.groupHead}>
        <h3 id={`${group}-head`}>{GROUP_SAYS[group]}</h3>
        <span className="badge">{open.length === 0 ? 'all answered' : `${open.length} open`}</span>
      </div>
      <ul className={styles.rows}>
        {children}
        {asked.map((props) => (
          <NeedRow key={props.row.key} {...props} />
        ))}
      </ul>
      <Fold says="Worth considering" rows={consider} />
      <Fold says="Answered" rows={answered} />
    </section>
  )
}

function Fold({ says, rows }: { says: string; rows: RowProps[] }) {
  if (rows.length === 0) return null
  return (
    <details className={styles.fold}>
      <summary>
        ▸ {says} ({rows.length})
      </summary>
      <ul className={styles.rows}>
        {rows.map((props) => (
          <NeedRow key={props.row.key} {...props} />
        ))}
      </ul>
    </details>
  )
}
