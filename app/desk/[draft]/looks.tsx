'use client'

import type { DeskAct } from '@/lib/figure/desk.ts'
import type { DeskLook } from '@/lib/figure/desk-check.ts'
import styles from '../desk.module.css'

const SHOWN = 12

/** What the reader was unsure of, and what does not meet: the first things to look at. */
export function Looks(props: {
  looks: readonly DeskLook[]
  chosen: string | null
  onGo: (look: DeskLook) => void
  onAct: (act: DeskAct) => void
}) {
  const { looks } = props
  return (
    <section className="stack tight" aria-labelledby="looks">
      <h2 id="looks">Look at these</h2>
      {looks.length === 0 ? (
        <p className="done">Nothing is left to look at. Read the list against the page once more, then publish.</p>
      ) : (
        <ol className={`plain-list ${styles.looks}`}>
          {looks.slice(0, SHOWN).map((look) => (
            <li key={`${look.id} ${look.doubt}`} aria-current={look.id === props.chosen || undefined}>
              <button type="button" className={styles.look} onClick={() => props.onGo(look)}>
                <span className="callout">{look.item === '' ? '?' : look.item}</span>
                <span>
                  {look.kind === 'row' ? 'Row: ' : ''}
                  {look.words}
                </span>
              </button>
              <button
                type="button"
                className="button quiet"
                aria-label={`${look.item || 'no number'}: it is right as it stands (${look.words})`}
                onClick={() => props.onAct({ do: 'seen', id: look.id, doubt: look.doubt })}
              >
                It is right
              </button>
            </li>
          ))}
        </ol>
      )}
      {looks.length > SHOWN ? <p className="small soft">and {looks.length - SHOWN} more after these</p> : null}
    </section>
  )
}
