'use client'

import type { TestRow } from '@/lib/job/test-list.ts'
import { counted } from '@/lib/measure/counted.ts'
import styles from './tests.module.css'

/** A list that somebody saved; the first is the one that came with the figure. */
export interface Earlier {
  version: number
  who: string | null
  at: string
  rows: TestRow[]
}

function when(at: string): string {
  return new Date(at).toLocaleString('en-GB', { dateStyle: 'medium', timeStyle: 'short' })
}

/** Somebody saved in between: both lists are there, and the person says which one goes on. */
export function Conflict(props: { theirs: Earlier; onOpen: () => void; onTogether: () => void; onKeep: () => void }) {
  const { who, rows } = props.theirs
  return (
    <div className="caution" role="alert">
      <p>
        {who ?? 'Somebody'} saved another list while you worked, {counted(rows.length, 'test')}. Yours is still here,
        theirs is in the book; choose, then save.
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
      <p className="small">Theirs stays under earlier lists, whichever you choose.</p>
    </div>
  )
}

export function EarlierLists(props: { earlier: readonly Earlier[]; onOpen: (one: Earlier) => void }) {
  if (props.earlier.length === 0) return null
  return (
    <details>
      <summary className="button quiet">Earlier lists</summary>
      <ul className={`plain-list ${styles.earlier}`}>
        {props.earlier.map((one) => (
          <li key={one.version}>
            <span>
              {one.who === null ? (
                'As it came with the figure'
              ) : (
                <>
                  {/* Clock of the reader: the server does not know it. */}
                  <time dateTime={one.at} suppressHydrationWarning>
                    {when(one.at)}
                  </time>
                  , {one.who}
                </>
              )}
              , {counted(one.rows.length, 'test')}
            </span>
            <button
              type="button"
              className="button"
              aria-label={
                one.who === null ? 'Open the list that came with the figure' : `Open list ${one.version} of ${one.who}`
              }
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
