'use client'

import { type KeyboardEvent, useEffect, useMemo, useRef } from 'react'
import type { DeskAct, DeskCallout, DeskDraft } from '@/lib/figure/desk.ts'
import type { PageBox } from '@/lib/figure/reader/schema.ts'
import { itemCompare } from '@/lib/figure/strip-order.ts'
import { type Point, type View, viewToScreen } from '@/lib/geometry/view.ts'
import { counted } from '@/lib/measure/counted.ts'
import styles from '../desk.module.css'
import { type Handle, usePointer } from './use-pointer.ts'
import { useView } from './use-view.ts'

const PAN_STEP = 60
const NUDGE = 1
const NUDGE_FAR = 10
/** More numbers than this are only drawn where they can be seen. */
const ALL_DRAWN_MAX = 250

/** What the next tap on the page sets. */
export type Setting = 'number' | 'end' | null

export interface SheetProps {
  draft: DeskDraft
  picture: string
  selected: Handle | null
  /** Ids of numbers that should be looked at. */
  doubtful: ReadonlySet<string>
  /** Where the row in hand stands on the page. */
  rowBox: PageBox | null
  setting: Setting
  /** Grows when the choice came from outside the page: the page then moves to it. */
  bring: number
  onSelect: (handle: Handle | null) => void
  onAct: (act: DeskAct) => void
  onSetting: (setting: Setting) => void
  onNew: (at: Point) => void
  onEdit: () => void
  onNextDoubt: () => void
  onUndo: () => void
  onRedo: () => void
}

/** The page with its numbers and leader ends as things to take hold of, by pointer, finger and keyboard. */
export function Sheet(props: SheetProps) {
  const { draft, selected, setting, onAct, onSelect } = props
  const { width, height, callouts } = draft
  const page = useMemo(() => ({ width, height }), [width, height])
  const viewing = useView(page)
  const { frame, size, view, zoom, pan, centre, fit } = viewing
  const chosen = callouts.find((one) => one.id === selected?.id) ?? null

  const pointOf = ({ id, tip }: Handle): Point | null => {
    const callout = callouts.find((one) => one.id === id)
    return (tip === null ? callout : callout?.tips.find((one) => one.id === tip)) ?? null
  }
  const { dragged, on } = usePointer(
    viewing,
    {
      dropped: ({ id, tip, x, y }) => {
        onSelect({ id, tip })
        onAct(tip === null ? { do: 'move-callout', id, x, y } : { do: 'move-tip', id, tip, x, y })
      },
      tapped: (handle, at) => {
        if (handle) onSelect(handle)
        else if (setting === 'number') props.onNew(at)
        else if (setting === 'end' && chosen) {
          onAct({ do: 'add-tip', id: chosen.id, x: at.x, y: at.y })
          props.onSetting(null)
        } else onSelect(null)
      },
    },
    pointOf,
  )

  // A choice in a list brings its number near the middle; one on the page leaves the page where it is.
  const point = selected && pointOf(selected)
  const broughtLast = useRef(0)
  useEffect(() => {
    // Once for each time it is asked for: a number that is moved must not drag the page along.
    if (props.bring === broughtLast.current || !point || size.width === 0) return
    broughtLast.current = props.bring
    centre(point)
  }, [props.bring, point, size, centre])

  function key(event: KeyboardEvent<HTMLDivElement>) {
    if (event.altKey || (event.target as Element).closest('[data-controls]')) return
    if (event.ctrlKey || event.metaKey) {
      if (event.key.toLowerCase() === 'z') event.shiftKey ? props.onRedo() : props.onUndo()
      else if (event.key.toLowerCase() === 'y') props.onRedo()
      else return
      return event.preventDefault()
    }
    const run = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key]
    if (!run) return
    if (run(props, { pan, zoom, whole: fit, point, chosen, middle: middleOf(view, size), far: event.shiftKey }))
      event.preventDefault()
    // A number that is taken away must not take the focus with it.
    if (run === remove && selected?.tip === null) frame.current?.focus({ preventScroll: true })
  }

  const shown = shownOf(callouts, view, size, selected)
  const sorted = useMemo(() => [...shown].sort((a, b) => itemCompare(a.item, b.item)), [shown])
  const at = (handle: Handle, is: Point): Point =>
    dragged && dragged.id === handle.id && dragged.tip === handle.tip ? dragged : is
  return (
    <div className={styles.sheet}>
      <div
        ref={frame}
        className={`${styles.frame} ${setting ? styles.setting : ''}`}
        role="group"
        aria-roledescription="page"
        aria-label="The page. Tab goes from number to number; the keys stand below."
        tabIndex={0}
        onKeyDown={key}
        {...on}
      >
        {view ? (
          <>
            <img
              src={props.picture}
              alt=""
              draggable={false}
              className={styles.picture}
              style={{
                width: width * view.scale,
                height: height * view.scale,
                transform: `translate(${view.left}px, ${view.top}px)`,
              }}
            />
            <svg className={styles.lines} width={size.width} height={size.height} aria-hidden="true">
              {draft.keep ? <Box view={view} box={draft.keep} className={styles.keep} /> : null}
              {props.rowBox ? <Box view={view} box={props.rowBox} className={styles.rowBox} /> : null}
              {shown.map((callout) => {
                const from = viewToScreen(view, at({ id: callout.id, tip: null }, callout))
                return callout.tips.map((tip) => {
                  const to = viewToScreen(view, at({ id: callout.id, tip: tip.id }, tip))
                  const isChosen = callout.id === selected?.id
                  return (
                    <g key={tip.id} className={isChosen ? styles.chosenLine : styles.line}>
                      <line x1={from.x} y1={from.y} x2={to.x} y2={to.y} />
                      {isChosen ? null : <circle cx={to.x} cy={to.y} r={3} />}
                    </g>
                  )
                })
              })}
            </svg>
            {sorted.map((callout) => {
              const { x, y } = viewToScreen(view, at({ id: callout.id, tip: null }, callout))
              const isChosen = callout.id === selected?.id
              return (
                <span key={callout.id}>
                  <button
                    type="button"
                    data-handle={callout.id}
                    className={`${styles.number} ${props.doubtful.has(callout.id) ? styles.doubtful : ''}`}
                    style={{ left: x, top: y }}
                    aria-pressed={isChosen && selected?.tip === null}
                    aria-label={nameOf(callout, props.doubtful.has(callout.id))}
                    onFocus={() => onSelect({ id: callout.id, tip: null })}
                  >
                    <span>{callout.item === '' ? '?' : callout.item}</span>
                  </button>
                  {isChosen
                    ? callout.tips.map((tip, index) => {
                        const end = viewToScreen(view, at({ id: callout.id, tip: tip.id }, tip))
                        return (
                          <button
                            key={tip.id}
                            type="button"
                            data-handle={callout.id}
                            data-tip={tip.id}
                            className={styles.tip}
                            style={{ left: end.x, top: end.y }}
                            aria-pressed={selected?.tip === tip.id}
                            aria-label={`Leader end ${index + 1} of ${callout.item}`}
                            onFocus={() => onSelect({ id: callout.id, tip: tip.id })}
                          />
                        )
                      })
                    : null}
                </span>
              )
            })}
          </>
        ) : null}
      </div>
      <div className={styles.controls} data-controls>
        <button type="button" className="button" onClick={() => zoom(1.5)} aria-label="Zoom in">
          +
        </button>
        <button type="button" className="button" onClick={() => zoom(1 / 1.5)} aria-label="Zoom out">
          −
        </button>
        <button type="button" className="button" onClick={fit}>
          Fit
        </button>
      </div>
    </div>
  )
}

interface Hand {
  pan: (dx: number, dy: number) => void
  zoom: (factor: number) => void
  /** The whole page into the frame. */
  whole: () => void
  point: Point | null
  chosen: DeskCallout | null
  middle: Point
  far: boolean
}

/** Each answers true when it did something, so that other keys go where they always go. */
type KeyRun = (props: SheetProps, hand: Hand) => boolean

const does = (run: (props: SheetProps, hand: Hand) => void): KeyRun => {
  return (props, hand) => {
    run(props, hand)
    return true
  }
}

function arrow(dx: number, dy: number): KeyRun {
  return does(({ selected, onAct }, { point, far, pan }) => {
    if (!selected || !point) return pan(-dx * PAN_STEP, -dy * PAN_STEP)
    const by = far ? NUDGE_FAR : NUDGE
    const to = { x: point.x + dx * by, y: point.y + dy * by }
    const { id, tip } = selected
    onAct(tip === null ? { do: 'move-callout', id, ...to } : { do: 'move-tip', id, tip, ...to })
  })
}

const remove = does(({ selected, onAct, onSelect }, { chosen }) => {
  if (!selected || !chosen) return
  if (selected.tip === null) onAct({ do: 'delete-callout', id: chosen.id })
  else onAct({ do: 'delete-tip', id: chosen.id, tip: selected.tip })
  onSelect(selected.tip === null ? null : { id: chosen.id, tip: null })
})

const KEYS: Record<string, KeyRun> = {
  ArrowLeft: arrow(-1, 0),
  ArrowRight: arrow(1, 0),
  ArrowUp: arrow(0, -1),
  ArrowDown: arrow(0, 1),
  Delete: remove,
  Backspace: remove,
  Enter: (props, { chosen }) => {
    if (!chosen) return false
    props.onEdit()
    return true
  },
  Escape: does(({ onSelect, onSetting }) => {
    onSetting(null)
    onSelect(null)
  }),
  Home: does((_, hand) => hand.whole()),
  '+': does((_, { zoom }) => zoom(1.4)),
  '=': does((_, { zoom }) => zoom(1.4)),
  '-': does((_, { zoom }) => zoom(1 / 1.4)),
  n: does(({ onNew }, { middle }) => onNew(middle)),
  t: does(({ onAct }, { chosen, middle }) => {
    if (chosen) onAct({ do: 'add-tip', id: chosen.id, ...middle })
  }),
  e: does(({ onSelect, selected }, { chosen }) => {
    if (!chosen) return
    // From the number to its ends, one after another, and back to the number.
    const ends = [null, ...chosen.tips.map((tip) => tip.id)]
    onSelect({ id: chosen.id, tip: ends[(ends.indexOf(selected?.tip ?? null) + 1) % ends.length] ?? null })
  }),
  d: does(({ onNextDoubt }) => onNextDoubt()),
  u: does(({ onUndo }) => onUndo()),
  r: does(({ onRedo }) => onRedo()),
}

export function KeysHelp() {
  return (
    <p className={`small soft ${styles.keys}`}>
      <kbd>Tab</kbd> next number, <kbd>arrows</kbd> move it by 1 (with <kbd>Shift</kbd> by 10), <kbd>E</kbd> to its
      leader end, <kbd>Enter</kbd> change the number, <kbd>N</kbd> new number in the middle, <kbd>T</kbd> new leader end
      there, <kbd>Delete</kbd> take away, <kbd>D</kbd> next to look at, <kbd>U</kbd> undo, <kbd>R</kbd> redo,{' '}
      <kbd>+</kbd> <kbd>-</kbd> <kbd>Home</kbd> zoom, <kbd>Esc</kbd> let go.
    </p>
  )
}

function Box({ view, box, className }: { view: View; box: PageBox; className: string | undefined }) {
  const { x, y } = viewToScreen(view, { x: box[0], y: box[1] })
  const [width, height] = [(box[2] - box[0]) * view.scale, (box[3] - box[1]) * view.scale]
  return <rect x={x} y={y} width={width} height={height} className={className} />
}

function nameOf(callout: DeskCallout, isDoubtful: boolean): string {
  const ends = counted(callout.tips.length, 'leader end')
  return `Number ${callout.item || 'not set'}, ${ends}${isDoubtful ? ', to look at' : ''}`
}

function middleOf(view: View | null, size: { width: number; height: number }): Point {
  if (!view) return { x: 0, y: 0 }
  return { x: (size.width / 2 - view.left) / view.scale, y: (size.height / 2 - view.top) / view.scale }
}

function shownOf(
  callouts: readonly DeskCallout[],
  view: View | null,
  size: { width: number; height: number },
  selected: Handle | null,
): readonly DeskCallout[] {
  if (!view || callouts.length <= ALL_DRAWN_MAX) return callouts
  const near = ({ x, y }: Point) => {
    const on = viewToScreen(view, { x, y })
    return on.x > -60 && on.y > -60 && on.x < size.width + 60 && on.y < size.height + 60
  }
  return callouts.filter((callout) => callout.id === selected?.id || near(callout) || callout.tips.some(near))
}
