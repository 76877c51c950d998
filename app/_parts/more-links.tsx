import type { ReactNode } from 'react'
import styles from './more-links.module.css'

/**
 * What is done more rarely on a screen: a row of quiet buttons at a desk, folded away on a phone, where the screen itself is what
 * people come for. Both are there; the width shows one of them.
 */
export function MoreLinks({ of, says, children }: { of: string; says: string; children: ReactNode }) {
  return (
    <nav className="no-print" aria-label={`More of ${of}`}>
      <div className={`row ${styles.row}`}>{children}</div>
      <details className={styles.folded}>
        <summary className="button quiet">
          More of {of}: {says} …
        </summary>
        <div>{children}</div>
      </details>
    </nav>
  )
}
