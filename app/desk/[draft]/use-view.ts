'use client'

import { type RefObject, useCallback, useEffect, useLayoutEffect, useRef, useState } from 'react'
import { type Point, type Size, type View, viewCentre, viewFit, viewPan, viewZoom } from '@/lib/geometry/view.ts'

export interface DeskViewing {
  frame: RefObject<HTMLDivElement | null>
  size: Size
  view: View | null
  zoom: (factor: number, about?: Point) => void
  pan: (dx: number, dy: number) => void
  /** Brings a point of the page into the middle, near enough to see. */
  centre: (point: Point) => void
  fit: () => void
}

/** What part of the page is in the frame: measures it, zooms by wheel, and keeps the page inside. */
export function useView(page: Size): DeskViewing {
  const frame = useRef<HTMLDivElement>(null)
  const [size, setSize] = useState<Size>({ width: 0, height: 0 })
  const [view, setView] = useState<View | null>(null)

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
  const pan = useCallback(
    (dx: number, dy: number) => change((before) => viewPan(before, dx, dy, page, size)),
    [change, page, size],
  )
  const centre = useCallback(
    (point: Point) =>
      change((before) => viewCentre(point, Math.max(before.scale, viewFit(page, size).scale * 2.5), page, size)),
    [change, page, size],
  )
  const fit = useCallback(() => setView(size.width > 0 ? viewFit(page, size) : null), [page, size])

  // React listens to wheel events passively; the page must not scroll while the drawing zooms.
  useEffect(() => {
    const element = frame.current
    if (!element) return
    const wheel = (event: WheelEvent) => {
      const isOurs = event.ctrlKey || event.metaKey || element.contains(document.activeElement)
      if (!isOurs) return
      event.preventDefault()
      const box = element.getBoundingClientRect()
      zoom(Math.exp(-event.deltaY * 0.0015), { x: event.clientX - box.left, y: event.clientY - box.top })
    }
    element.addEventListener('wheel', wheel, { passive: false })
    return () => element.removeEventListener('wheel', wheel)
  }, [zoom])

  return { frame, size, view, zoom, pan, centre, fit }
}
