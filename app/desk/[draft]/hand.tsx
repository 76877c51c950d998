'use client'

import type { RefObject } from 'react'
import type { DeskAct, DeskCallout, DeskRow } from '@/lib/figure/desk.ts'
import { itemKey } from '@/lib/figure/strip-order.ts'
import styles from '../desk.module.css'
import type { Setting } from './sheet.tsx'
import type { Handle } from './use-pointer.ts'

/** The number in hand: what it is called, where its leaders end, and the row it belongs to. */
export function InHand(props: {
  callout: DeskCallout
  selected: Handle
  rows: readonly DeskRow[]
  field: RefObject<HTMLInputElement | null>
  setting: Setting
  onAct: (act: DeskAct) => void
  onSelect: (handle: Handle | null) => void
  onSetting: (setting: Setting) => void
  onDone: () => void
}) {
  const { callout, rows, onAct } = props
  return (
    <section className={`stack tight ${styles.hand}`} aria-label="Number in hand">
      <div className="row end">
        <div className="field">
          <label htmlFor="hand-item">Number</label>
          <input
            id="hand-item"
            ref={props.field}
            className={styles.short}
            value={callout.item}
            maxLength={8}
            autoComplete="off"
            onChange={(event) => onAct({ do: 'renumber', id: callout.id, item: event.target.value })}
            onKeyDown={(event) => {
              if (event.key !== 'Enter' && event.key !== 'Escape') return
              event.preventDefault()
              props.onDone()
            }}
          />
        </div>
        <div className="field">
          <label htmlFor="hand-row">Belongs to row</label>
          <select
            id="hand-row"
            value={
              rows.find((row) => itemKey(row.item) !== '' && itemKey(row.item) === itemKey(callout.item))?.id ?? ''
            }
            onChange={(event) => {
              if (event.target.value !== '') onAct({ do: 'join', callout: callout.id, row: event.target.value })
            }}
          >
            <option value="">choose a row</option>
            {rows.map((row) => (
              <option key={row.id} value={row.id}>
                {row.item || 'no number'}: {row.description || row.partNumber || 'blank row'}
              </option>
            ))}
          </select>
        </div>
      </div>
      <div className="row">
        <button
          type="button"
          className="button"
          aria-pressed={props.setting === 'end'}
          onClick={() => props.onSetting(props.setting === 'end' ? null : 'end')}
        >
          Set a leader end
        </button>
        {callout.tips.map((tip, at) => (
          <button
            key={tip.id}
            type="button"
            className="button"
            onClick={() => {
              onAct({ do: 'delete-tip', id: callout.id, tip: tip.id })
              props.onSelect({ id: callout.id, tip: null })
            }}
          >
            Take away end {at + 1}
          </button>
        ))}
        <button
          type="button"
          className="button"
          onClick={() => {
            onAct({ do: 'delete-callout', id: callout.id })
            props.onSelect(null)
            props.onDone()
          }}
        >
          Take the number away
        </button>
      </div>
      {props.setting === 'end' ? (
        <p role="status" className="small">
          Tap the part that the leader line of {callout.item || 'this number'} ends on.
        </p>
      ) : null}
    </section>
  )
}
