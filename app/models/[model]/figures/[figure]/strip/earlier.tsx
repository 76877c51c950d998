'use client'

import type { StripDraft } from '@/lib/figure/strip-draft.ts'
import { counted } from '@/lib/measure/counted.ts'
import styles from './strip.module.css'

/** An order that somebody saved. */
export interface Earlier {
  version: number
  who: string
  at: string
  draft: StripDraft
}

export function when(at: string): string {
  return new Date(at).toLocaleString('en-GB', { dateStyle: 'medium', timeStyle: 'short' })
}

/** Somebody saved in between: both orders are there, and the person says which one goes on. */
export function Conflict(props: { theirs: Earlier; onOpen: () => void; onTogether: () => void; onKeep: () => void }) {
  return (
    <div className="caution" role="alert">
      <p>
        {props.theirs.who} saved another order while you worked, {props.theirs.draft.steps.length} steps. Yours is still
        here, theirs is in the book; choose, then save.
      </p>
      <div className="row">
        <button type="button" className="button" onClick={props.onTogether}>
          Put both together
        </button>
        <button type="button" className="button" onClick={props.onOpen}>
          Open theirs
        </button>
        <button type="button" className="button" onClick={props.onKeep}>
          Keep mine
        </button>
      </div>
      <p className="small">Undo brings yours back; theirs stays under earlier orders.</p>
    </div>
  )
}

export function EarlierOrders(props: { earlier: readonly Earlier[]; onOpen: (one: Earlier) => void }) {
  if (props.earlier.length === 0) return null
  return (
    <details>
      <summary className="button quiet">Earlier orders</summary>
      <ul className={`plain-list ${styles.after}`}>
        {props.earlier.map((one) => (
          <li key={one.version}>
            <span>
              {/* Clock of the reader: the server does not know it. */}
              <time dateTime={one.at} suppressHydrationWarning>
                {when(one.at)}
              </time>
              , {one.who}, {counted(one.draft.steps.length, 'step')}
            </span>
            <button
              type="button"
              className="button"
              aria-label={`Open the order of ${one.who}, number ${one.version}`}
              onClick={() => props.onOpen(one)}
            >
              Open
            </button>
          </li>
        ))}
      </ul>
    </details>
  )
}
