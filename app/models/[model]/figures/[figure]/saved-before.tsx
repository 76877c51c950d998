'use client'

import editor from './editor.module.css'

/** An order or list of a figure that was saved; the first of its lists is the one that came with the figure, and of nobody. */
export interface SavedBefore {
  version: number
  who: string | null
  at: string
}

type What = 'order' | 'list'

export function when(at: string): string {
  return new Date(at).toLocaleString('en-GB', { dateStyle: 'medium', timeStyle: 'short' })
}

/** Somebody saved in between: both are there, and the person says which one goes on. `size` is theirs in words: "8 steps". */
export function SavedBetween(props: {
  what: What
  who: string | null
  size: string
  onOpen: () => void
  onTogether: () => void
  onKeep: () => void
}) {
  return (
    <div className="caution" role="alert">
      <p>
        {props.who ?? 'Somebody'} saved another {props.what} while you worked, {props.size}. Yours is still here, theirs
        is in the book; choose, then save.
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
      <p className="small">Undo brings yours back; theirs stays under earlier {props.what}s.</p>
    </div>
  )
}

/** What was saved before, newest first, each to be opened again. */
export function EarlierSaved<One extends SavedBefore>(props: {
  what: What
  earlier: readonly One[]
  sizeOf: (one: One) => string
  onOpen: (one: One) => void
}) {
  const { what } = props
  if (props.earlier.length === 0) return null
  return (
    <details>
      <summary className="button quiet">Earlier {what}s</summary>
      <ul className={`plain-list ${editor.apart}`}>
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
              , {props.sizeOf(one)}
            </span>
            <button
              type="button"
              className="button"
              aria-label={
                one.who === null
                  ? `Open the ${what} that came with the figure`
                  : `Open the ${what} of ${one.who}, number ${one.version}`
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
