'use client'

import {
  type KeyboardEvent,
  type PointerEvent,
  useCallback,
  useEffect,
  useLayoutEffect,
  useMemo,
  useRef,
  useState,
} from 'react'
import { type Callout, calloutAt, calloutSpacing, calloutTyped } from '@/lib/figure/callout.ts'
import { type Point, type View, viewCentre, viewFit, viewPan, viewToPage, viewZoom } from '@/lib/geometry/view.ts'
import styles from './figure.module.css'

const STEP = 60
const FINGER = 28
/** A press that moves less than this is a tap. */
const TAP_SLOP = 6
const TYPING_PAUSE_MS = 900

export interface DrawingProps {
  title: string
  picture: string
  page: { width: number; height: number }
  callouts: Callout[]
  /** What a callout is, for ears: "7, flail knife, 12 on shelf". */
  nameOf: Record<string, string>
  selected: string | null
  /** Grows with every choice made outside the drawing: the drawing then brings the callout into view. */
  bring: number
  onSelect: (item: string) => void
}

export function Drawing(props: DrawingProps) {
  const { page, callouts, selected } = props
  const frame = useRef<HTMLDivElement>(null)
  const [size, setSize] = useState({ width: 0, height: 0 })
  const [view, setView] = useState<View | null>(null)
  const pointers = useRef(new Map<number, Point>())
  const press = useRef<{ at: Point; moved: boolean; time: number } | null>(null)
  const lastTap = useRef(0)
  const typed = useRef({ text: '', at: 0 })
  const spacing = useMemo(() => calloutSpacing(callouts), [callouts])

  useLayoutEffect(() => {
    const element = frame.current
    if (!element) return
    const measure = () => setSize({ width: element.clientWidth, height: element.clientHeight })
    measure()
    const watch = new ResizeObserver(measure)
    watch.observe(element)
    return () => watch.disconnect()
  }, [])

  useEffect(() => {
    if (size.width > 0) setView(viewFit(page, size))
  }, [size, page])

  const change = useCallback(
    (next: (view: View) => View) => setView((before) => (before && size.width > 0 ? next(before) : before)),
    [size],
  )
  const zoom = useCallback(
    (factor: number, about?: Point) =>
      change((before) => viewZoom(before, factor, about ?? { x: size.width / 2, y: size.height / 2 }, page, size)),
    [change, page, size],
  )

  // React listens to wheel events passively; the page must not scroll while the drawing zooms.
  useEffect(() => {
    const element = frame.current
    if (!element) return
    const wheel = (event: WheelEvent) => {
      if (
        !event.ctrlKey &&
        !event.metaKey &&
        document.activeElement !== element &&
        !element.contains(document.activeElement)
      )
        return
      event.preventDefault()
      const box = element.getBoundingClientRect()
      zoom(Math.exp(-event.deltaY * 0.0015), { x: event.clientX - box.left, y: event.clientY - box.top })
    }
    element.addEventListener('wheel', wheel, { passive: false })
    return () => element.removeEventListener('wheel', wheel)
  }, [zoom])

  // A choice in the list brings its number near the middle, large enough to read.
  useEffect(() => {
    if (props.bring === 0 || !selected) return
    const callout = callouts.find((one) => one.item === selected)
    if (callout)
      change((before) => viewCentre(middle(callout), Math.max(before.scale, readable(spacing, page, size)), page, size))
  }, [props.bring, selected, callouts, change, page, size, spacing])

  function local(event: PointerEvent): Point {
    const box = frame.current!.getBoundingClientRect()
    return { x: event.clientX - box.left, y: event.clientY - box.top }
  }

  function down(event: PointerEvent<HTMLDivElement>) {
    if ((event.target as Element).closest('[data-controls]')) return
    pointers.current.set(event.pointerId, local(event))
    if (pointers.current.size === 1) press.current = { at: local(event), moved: false, time: event.timeStamp }
    else if (press.current) press.current.moved = true
  }

  function move(event: PointerEvent<HTMLDivElement>) {
    const before = pointers.current.get(event.pointerId)
    if (!before) return
    const now = local(event)
    if (press.current && Math.hypot(now.x - press.current.at.x, now.y - press.current.at.y) > TAP_SLOP) {
      press.current.moved = true
      // Only a drag takes the pointer: a tap must still reach the callout's own button.
      frame.current?.setPointerCapture(event.pointerId)
    }
    const others = [...pointers.current.entries()].filter(([id]) => id !== event.pointerId).map(([, point]) => point)
    pointers.current.set(event.pointerId, now)
    const other = others[0]
    if (other) {
      const grown =
        Math.hypot(now.x - other.x, now.y - other.y) / Math.max(1, Math.hypot(before.x - other.x, before.y - other.y))
      zoom(grown, { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 })
    }
    if (press.current?.moved) {
      const share = other ? 0.5 : 1
      change((at) => viewPan(at, (now.x - before.x) * share, (now.y - before.y) * share, page, size))
    }
  }

  function up(event: PointerEvent<HTMLDivElement>) {
    const was = press.current
    const known = pointers.current.delete(event.pointerId)
    if (pointers.current.size > 0 || !known) return
    press.current = null
    if (!was || was.moved || !view) return
    const at = local(event)
    if ((event.target as Element).closest('button')) return
    const near = calloutAt(callouts, viewToPage(view, at), FINGER / view.scale)
    if (event.timeStamp - lastTap.current < 350) zoom(2, at)
    else if (near) props.onSelect(near.item)
    lastTap.current = event.timeStamp
  }

  function key(event: KeyboardEvent<HTMLDivElement>) {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const pan: Record<string, [number, number]> = {
      ArrowLeft: [STEP, 0],
      ArrowRight: [-STEP, 0],
      ArrowUp: [0, STEP],
      ArrowDown: [0, -STEP],
    }
    const by = pan[event.key]
    if (by) change((before) => viewPan(before, by[0], by[1], page, size))
    else if (event.key === '+' || event.key === '=') zoom(1.4)
    else if (event.key === '-') zoom(1 / 1.4)
    else if (event.key === 'Home') setView(viewFit(page, size))
    else if (/^[0-9]$/.test(event.key) || (typed.current.text !== '' && /^[a-z]$/i.test(event.key)))
      jump(event.key, event.timeStamp)
    else return
    event.preventDefault()
  }

  function jump(character: string, at: number) {
    const text = at - typed.current.at < TYPING_PAUSE_MS ? typed.current.text + character : character
    const items = callouts.map((callout) => callout.item)
    const found = calloutTyped(items, text)
    typed.current = { text: found.item === null && !found.more ? character : text, at }
    const item = found.item ?? calloutTyped(items, character).item
    if (item === null) return
    props.onSelect(item)
    frame.current
      ?.querySelector<HTMLButtonElement>(`button[data-item="${CSS.escape(item)}"]`)
      ?.focus({ preventScroll: true })
  }

  const scale = view?.scale ?? 0
  const room = Math.min(spacing * scale, 40)
  const badge = Math.max(24, Math.min(34, room * 0.95))
  return (
    <div className={styles.drawing}>
      <div
        ref={frame}
        className={styles.frame}
        role="group"
        aria-roledescription="drawing"
        aria-label={`${props.title}. Plus and minus zoom, arrows move, Home shows all, digits jump to a callout.`}
        tabIndex={0}
        onPointerDown={down}
        onPointerMove={move}
        onPointerUp={up}
        onPointerCancel={up}
        onKeyDown={key}
      >
        <div
          className={styles.page}
          style={
            view
              ? {
                  width: page.width * scale,
                  height: page.height * scale,
                  transform: `translate(${view.left}px, ${view.top}px)`,
                }
              : { width: '100%', height: '100%' }
          }
        >
          <img src={props.picture} alt="" draggable={false} className={styles.picture} />
          {selected !== null && (
            <Pointer page={page} callouts={callouts.filter((one) => one.item === selected)} scale={scale} />
          )}
          {callouts.map((callout) => (
            <button
              // An item may be printed more than once.
              key={`${callout.item} ${callout.x} ${callout.y}`}
              type="button"
              data-item={callout.item}
              className={`${styles.callout} ${room < 20 ? styles.crowded : ''}`}
              style={{
                left: `${(callout.x / page.width) * 100}%`,
                top: `${(callout.y / page.height) * 100}%`,
                width: badge,
                height: badge,
              }}
              aria-pressed={callout.item === selected}
              aria-label={props.nameOf[callout.item] ?? callout.item}
              onClick={() => props.onSelect(callout.item)}
            >
              <span>{callout.item}</span>
            </button>
          ))}
        </div>
      </div>
      <div className={styles.controls} data-controls>
        <button type="button" className="button" onClick={() => zoom(1.5)} aria-label="Zoom in">
          +
        </button>
        <button type="button" className="button" onClick={() => zoom(1 / 1.5)} aria-label="Zoom out">
          −
        </button>
        <button type="button" className="button" onClick={() => setView(viewFit(page, size))}>
          Fit
        </button>
      </div>
    </div>
  )
}

/** Leader line and tip of the chosen callout, drawn over the print. */
function Pointer({
  page,
  callouts,
  scale,
}: {
  page: { width: number; height: number }
  callouts: Callout[]
  scale: number
}) {
  if (scale === 0) return null
  return (
    <svg className={styles.pointer} viewBox={`0 0 ${page.width} ${page.height}`} aria-hidden="true">
      {callouts.flatMap((callout) =>
        callout.tips.map((tip) => (
          <g key={`${callout.x},${callout.y},${tip.x},${tip.y}`}>
            <line x1={callout.x} y1={callout.y} x2={tip.x} y2={tip.y} strokeWidth={2.5 / scale} />
            <circle cx={tip.x} cy={tip.y} r={9 / scale} strokeWidth={2.5 / scale} />
          </g>
        )),
      )}
    </svg>
  )
}

function middle(callout: Callout): Point {
  const tip = callout.tips[0] ?? callout
  return { x: (callout.x + tip.x) / 2, y: (callout.y + tip.y) / 2 }
}

/** Scale at which the numbers stand a thumb apart, but no closer than twice the whole page. */
function readable(
  spacing: number,
  page: { width: number; height: number },
  size: { width: number; height: number },
): number {
  const fit = viewFit(page, size).scale
  return Math.min(Number.isFinite(spacing) ? 28 / spacing : fit, fit * 3)
}
