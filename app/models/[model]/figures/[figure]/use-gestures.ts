import { type PointerEvent, useEffect, useRef } from 'react'
import type { Point } from '@/lib/geometry/view.ts'
import type { Glass } from './use-view.ts'

/** A press that moves less than this is a tap, CSS pixels. */
const TAP_SLOP = 8
const DOUBLE_TAP_MS = 320
const DOUBLE_TAP_APART = 32
const DOUBLE_TAP_FACTOR = 2.2
/** A line of a mouse wheel that counts in lines, as CSS pixels. */
const WHEEL_LINE = 16

export interface Gestures {
  /** A tap that is no part of a pinch, a drag or a double tap's second half. */
  tap: (at: Point) => void
  /** A mouse that moves over the drawing without a button down; null when it leaves. */
  hover: (at: Point | null) => void
  dragging: () => void
}

/** Drag, pinch, double tap and wheel, for the drawing's frame. */
export function useGestures(glass: Glass, on: Gestures) {
  const pointers = useRef(new Map<number, Point>())
  const press = useRef<{ at: Point; moved: boolean } | null>(null)
  const tapped = useRef<{ at: Point; time: number } | null>(null)
  const { frame, zoom, pan, now, settle } = glass

  // React listens to wheel events passively; the page must not scroll while the drawing zooms.
  useEffect(() => {
    const element = frame.current
    if (!element) return
    const wheel = (event: WheelEvent) => {
      const unit = event.deltaMode === 1 ? WHEEL_LINE : event.deltaMode === 2 ? element.clientHeight : 1
      const before = now()
      if (!before) return
      if (!event.ctrlKey && (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY))) {
        pan(-(event.deltaX || event.deltaY) * unit, 0)
      } else {
        const box = element.getBoundingClientRect()
        // A pinch on a touch pad arrives as a wheel with Ctrl, in much smaller steps.
        const factor = Math.exp(-event.deltaY * unit * (event.ctrlKey ? 0.01 : 0.0016))
        zoom(factor, { x: event.clientX - box.left, y: event.clientY - box.top })
      }
      const after = now()
      // At either end the wheel goes on to scroll the page: the drawing is no trap. Ctrl would zoom the whole page.
      const still =
        after?.scale === before.scale &&
        Math.hypot(after.left - before.left, after.top - before.top) < 1 &&
        !event.ctrlKey
      if (!still) event.preventDefault()
    }
    element.addEventListener('wheel', wheel, { passive: false })
    return () => element.removeEventListener('wheel', wheel)
  }, [frame, now, pan, zoom])

  function local(event: PointerEvent): Point {
    const box = frame.current!.getBoundingClientRect()
    return { x: event.clientX - box.left, y: event.clientY - box.top }
  }

  function down(event: PointerEvent<HTMLDivElement>) {
    if (event.button !== 0 || pointers.current.size === 2) return
    const at = local(event)
    pointers.current.set(event.pointerId, at)
    if (pointers.current.size === 1) press.current = { at, moved: false }
    else if (press.current) press.current.moved = true
  }

  function move(event: PointerEvent<HTMLDivElement>) {
    const before = pointers.current.get(event.pointerId)
    const at = local(event)
    if (!before) {
      if (event.pointerType === 'mouse') on.hover(at)
      return
    }
    if (press.current && !press.current.moved && far(at, press.current.at, TAP_SLOP)) {
      press.current.moved = true
      on.dragging()
    }
    if (!press.current?.moved) return
    // Only a drag takes the pointer: a tap must still reach the callout's own button.
    if (!frame.current?.hasPointerCapture(event.pointerId)) frame.current?.setPointerCapture(event.pointerId)
    pointers.current.set(event.pointerId, at)
    const other = [...pointers.current].find(([id]) => id !== event.pointerId)?.[1]
    if (!other) return pan(at.x - before.x, at.y - before.y)
    // Each finger moves the middle by half its own way, and the scale by the change of distance.
    const was = Math.hypot(before.x - other.x, before.y - other.y)
    pan((at.x - before.x) / 2, (at.y - before.y) / 2)
    zoom(Math.hypot(at.x - other.x, at.y - other.y) / Math.max(1, was), {
      x: (at.x + other.x) / 2,
      y: (at.y + other.y) / 2,
    })
  }

  function up(event: PointerEvent<HTMLDivElement>) {
    const known = pointers.current.delete(event.pointerId)
    if (!known || pointers.current.size > 0) return
    const was = press.current
    press.current = null
    if (was?.moved) return settle()
    if (event.type === 'pointercancel' || !was) return
    // The callout's own button answers by itself.
    if ((event.target as Element).closest('button, a')) return
    const at = local(event)
    const last = tapped.current
    tapped.current = { at, time: event.timeStamp }
    if (last && event.timeStamp - last.time < DOUBLE_TAP_MS && !far(at, last.at, DOUBLE_TAP_APART)) {
      tapped.current = null
      const before = now()
      zoom(DOUBLE_TAP_FACTOR, at)
      // As close as it gets: the second tap leads back to the whole.
      if (before && now()?.scale === before.scale) glass.whole()
      settle()
    } else on.tap(at)
  }

  return {
    onPointerDown: down,
    onPointerMove: move,
    onPointerUp: up,
    onPointerCancel: up,
    onPointerLeave: () => on.hover(null),
  }
}

function far(a: Point, b: Point, distance: number): boolean {
  return Math.hypot(a.x - b.x, a.y - b.y) > distance
}
