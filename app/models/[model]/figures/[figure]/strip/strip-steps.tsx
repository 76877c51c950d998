'use client'

import { useId } from 'react'
import { type DraftLine, type DraftStep, holdersOf, type StripAct, type StripDraft } from '@/lib/figure/strip-draft.ts'
import editor from '../editor.module.css'

interface StepsProps {
  draft: StripDraft
  lines: readonly DraftLine[]
  nameOf: (item: string) => string
  why: Record<string, string>
  onAct: (act: StripAct) => void
  onTake: (item: string) => void
}

/** The parts in the order they come off; the one in hand opens to be moved, noted or taken out. */
export function StripSteps(props: StepsProps) {
  const { draft, nameOf } = props
  if (draft.steps.length === 0)
    return (
      <p className="empty">
        No part is in the order yet. Tap the one that comes off first, on the drawing or in the list below, or let the
        drawing propose an order.
      </p>
    )
  return (
    <ol className={`plain-list ${editor.lines}`}>
      {draft.steps.map((step, at) => (
        <li key={step.item} className={step.item === draft.head ? editor.inHand : undefined} data-step={step.item}>
          <button
            type="button"
            className={editor.line}
            aria-expanded={step.item === draft.head}
            onClick={() => props.onTake(step.item)}
          >
            <span className={editor.place}>{at + 1}</span>
            <span className="callout">{step.item}</span>
            <span className={editor.says}>
              {nameOf(step.item)}
              <span className={`small soft ${editor.known}`}>
                {[before(step, props.lines), step.note, step.minutes === '' ? '' : `${step.minutes} min`]
                  .filter((text) => text !== '')
                  .join('; ')}
              </span>
            </span>
          </button>
          {step.item === draft.head ? <InHand step={step} at={at} {...props} /> : null}
        </li>
      ))}
    </ol>
  )
}

function before(step: DraftStep, lines: readonly DraftLine[]): string {
  const holders = holdersOf(step.item, lines)
  const after = [...new Set([...step.after, ...holders])]
  return after.length === 0 ? 'comes off by itself' : `after ${after.join(', ')}`
}

function InHand(props: StepsProps & { step: DraftStep; at: number }) {
  const { step, at, draft, nameOf, onAct } = props
  const id = useId()
  const { item } = step
  const holders = holdersOf(item, props.lines)
  const others = draft.steps.filter((one) => one.item !== item && !step.after.includes(one.item))
  return (
    <div className={editor.more}>
      <div className="row">
        <button type="button" className="button" disabled={at === 0} onClick={() => onAct({ do: 'earlier', item })}>
          Earlier
        </button>
        <button
          type="button"
          className="button"
          disabled={at === draft.steps.length - 1}
          onClick={() => onAct({ do: 'later', item })}
        >
          Later
        </button>
        <button type="button" className="button" onClick={() => onAct({ do: 'remove', item })}>
          Take out
        </button>
      </div>
      <ul className={`plain-list ${editor.apart}`}>
        {step.after.map((first) => (
          <li key={first}>
            <span>
              after <span className="callout">{first}</span> {nameOf(first)}
              {props.why[`${first} ${item}`] && !holders.includes(first) ? (
                <span className="small soft"> {props.why[`${first} ${item}`]}</span>
              ) : null}
            </span>
            {holders.includes(first) ? (
              <span className="small soft">holds it</span>
            ) : (
              <button
                type="button"
                className="button quiet"
                aria-label={`Not after ${first} ${nameOf(first)}`}
                onClick={() => onAct({ do: 'not-after', item, first })}
              >
                Not after
              </button>
            )}
          </li>
        ))}
      </ul>
      <div className="field">
        <label htmlFor={`${id}-after`}>Also comes off after</label>
        <select
          id={`${id}-after`}
          value=""
          onChange={(event) => onAct({ do: 'after', item, first: event.target.value })}
        >
          <option value="">choose a part</option>
          {others.map((one) => (
            <option key={one.item} value={one.item}>
              {one.item} {nameOf(one.item)}
            </option>
          ))}
        </select>
      </div>
      <div className="field">
        <label htmlFor={`${id}-note`}>What to know at this step</label>
        <input
          id={`${id}-note`}
          value={step.note}
          maxLength={200}
          onChange={(event) => onAct({ do: 'note', item, note: event.target.value })}
        />
      </div>
      <div className="field">
        <label htmlFor={`${id}-minutes`}>Minutes, off and on again</label>
        <input
          id={`${id}-minutes`}
          className="input-number"
          inputMode="numeric"
          value={step.minutes}
          onChange={(event) => onAct({ do: 'minutes', item, minutes: event.target.value })}
        />
      </div>
    </div>
  )
}
