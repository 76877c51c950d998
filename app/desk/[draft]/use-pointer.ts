'use client'

import { type PointerEvent, useRef, useState } from 'react'
import { type Point, viewToPage } from '@/lib/geometry/view.ts'
import type { DeskViewing } from './use-view.ts'

/** A press that moves less than this is a tap. */
const TAP_SLOP = 6

/** A number (tip null) or one of its leader ends. */
export interface Handle {
  id: string
  tip: string | null
}

export interface Dragged extends Handle, Point {}

interface Press {
  at: Point
  moved: boolean
  handle: (Handle & { from: Point }) | null
}

/**
 * One finger or the mouse: on a number or leader end it drags that, beside them it moves the page; two fingers zoom. What is
 * dragged is shown at once and told once, when it is let go.
 */
export function usePointer(
  viewing: DeskViewing,
  say: { dropped: (dragged: Dragged) => void; tapped: (handle: Handle | null, at: Point) => void },
  pointOf: (handle: Handle) => Point | null,
) {
  const { frame, view, zoom, pan } = viewing
  const pointers = useRef(new Map<number, Point>())
  const press = useRef<Press | null>(null)
  const [dragged, setDragged] = useState<Dragged | null>(null)

  const local = (event: PointerEvent): Point => {
    const box = frame.current!.getBoundingClientRect()
    return { x: event.clientX - box.left, y: event.clientY - box.top }
  }

  function down(event: PointerEvent<HTMLDivElement>) {
    const target = event.target as Element
    if (target.closest('[data-controls]') || (event.pointerType === 'mouse' && event.button !== 0)) return
    pointers.current.set(event.pointerId, local(event))
    if (pointers.current.size > 1) {
      // The second finger means zoom, whatever the first one began.
      press.current = press.current && { ...press.current, moved: true, handle: null }
      setDragged(null)
      return
    }
    const on = target.closest<HTMLElement>('[data-handle]')
    const handle = on ? { id: on.dataset.handle ?? '', tip: on.dataset.tip ?? null } : null
    const from = handle && pointOf(handle)
    press.current = { at: local(event), moved: false, handle: handle && from ? { ...handle, from } : null }
  }

  function move(event: PointerEvent<HTMLDivElement>) {
    const before = pointers.current.get(event.pointerId)
    const pressed = press.current
    if (!before || !pressed || !view) return
    const now = local(event)
    pointers.current.set(event.pointerId, now)
    if (!pressed.moved && Math.hypot(now.x - pressed.at.x, now.y - pressed.at.y) > TAP_SLOP) {
      pressed.moved = true
      // Only a drag takes the pointer: a tap must still reach the button.
      frame.current?.setPointerCapture(event.pointerId)
    }
    const other = [...pointers.current].find(([id]) => id !== event.pointerId)?.[1]
    if (other) {
      const apart = (point: Point) => Math.max(1, Math.hypot(point.x - other.x, point.y - other.y))
      zoom(apart(now) / apart(before), { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 })
      pan((now.x - before.x) / 2, (now.y - before.y) / 2)
    } else if (pressed.moved && pressed.handle) {
      const { id, tip, from } = pressed.handle
      const by = { x: (now.x - pressed.at.x) / view.scale, y: (now.y - pressed.at.y) / view.scale }
      setDragged({ id, tip, x: from.x + by.x, y: from.y + by.y })
    } else if (pressed.moved) pan(now.x - before.x, now.y - before.y)
  }

  function up(event: PointerEvent<HTMLDivElement>) {
    const known = pointers.current.delete(event.pointerId)
    const pressed = press.current
    if (!known || pointers.current.size > 0) return
    press.current = null
    setDragged(null)
    if (!pressed || !view || event.type === 'pointercancel') return
    const at = local(event)
    if (!pressed.moved) say.tapped(pressed.handle, viewToPage(view, at))
    else if (pressed.handle) {
      const { id, tip, from } = pressed.handle
      say.dropped({
        id,
        tip,
        x: from.x + (at.x - pressed.at.x) / view.scale,
        y: from.y + (at.y - pressed.at.y) / view.scale,
      })
    }
  }

  return { dragged, on: { onPointerDown: down, onPointerMove: move, onPointerUp: up, onPointerCancel: up } }
}
