import { type RefObject, useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react'
import { APART_PIXELS } from '@/lib/figure/callout.ts'
import {
  type Opening,
  type Point,
  type Size,
  type View,
  viewCentre,
  viewFit,
  viewIsWhole,
  viewKeep,
  viewOpen,
  viewPan,
  viewZoom,
} from '@/lib/geometry/view.ts'

/** So long after the last step of a zoom the drawing is laid out anew, sharp at its new scale. */
const REST_MS = 140

export interface Glass {
  frame: RefObject<HTMLDivElement | null>
  /** The print: scaled as a whole while fingers move, laid out anew at rest, so that line art is drawn sharp. */
  sheet: RefObject<HTMLDivElement | null>
  /** Numbers and pointer: they keep their size while the print grows. */
  marks: RefObject<HTMLDivElement | null>
  /** Where on the whole drawing the window stands. */
  whereabouts: RefObject<HTMLSpanElement | null>
  /** The view as it was last laid out; null until the window is measured. */
  rest: View | null
  window: () => Size
  now: () => View | null
  zoom: (factor: number, about?: Point) => void
  pan: (dx: number, dy: number) => void
  whole: () => void
  reading: () => void
  /** Whether the view the drawing opens in is the whole of it. */
  opensWhole: () => boolean
  bring: (point: Point, scale: number) => void
  settle: () => void
}

/**
 * The drawing behind its window. A view is written to the screen by hand, once a frame: React sees only the views it comes to
 * rest in. `opening` has its scale for numbers one pixel apart. `moved` is told of every frame, for what must follow a drag (tiles).
 */
export function useView(page: Size, opening: Opening, moved: (view: View, window: Size) => void): Glass {
  const frame = useRef<HTMLDivElement>(null)
  const sheet = useRef<HTMLDivElement>(null)
  const marks = useRef<HTMLDivElement>(null)
  const whereabouts = useRef<HTMLSpanElement>(null)
  const live = useRef<View | null>(null)
  const laid = useRef(0)
  const size = useRef<Size>({ width: 0, height: 0 })
  const ticket = useRef(0)
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined)
  const told = useRef(moved)
  const [rest, setRest] = useState<View | null>(null)
  useLayoutEffect(() => {
    told.current = moved
  })

  const draw = useCallback(() => {
    ticket.current = 0
    const view = live.current
    if (!view || !sheet.current || !marks.current) return
    const place = `translate(${view.left}px, ${view.top}px)`
    sheet.current.style.transform = view.scale === laid.current ? place : `${place} scale(${view.scale / laid.current})`
    marks.current.style.transform = place
    const scale = `${view.scale}px`
    if (marks.current.style.getPropertyValue('--scale') !== scale) marks.current.style.setProperty('--scale', scale)
    if (whereabouts.current) placeWhereabouts(whereabouts.current.style, view, page, size.current)
    told.current(view, size.current)
  }, [page])

  const settle = useCallback(() => {
    clearTimeout(timer.current)
    const view = live.current
    if (!view || !sheet.current) return
    // Whole pixels of the screen: hairlines stay hairlines.
    const pixel = (offset: number) => Math.round(offset * devicePixelRatio) / devicePixelRatio
    live.current = { scale: view.scale, left: pixel(view.left), top: pixel(view.top) }
    if (laid.current !== view.scale) {
      laid.current = view.scale
      sheet.current.style.setProperty('--scale', `${view.scale}px`)
    }
    draw()
    setRest(live.current)
  }, [draw])

  const change = useCallback(
    (next: (view: View) => View) => {
      if (!live.current || size.current.width === 0) return
      live.current = next(live.current)
      if (ticket.current === 0) ticket.current = requestAnimationFrame(draw)
      clearTimeout(timer.current)
      timer.current = setTimeout(settle, REST_MS)
    },
    [draw, settle],
  )

  useLayoutEffect(() => {
    const element = frame.current
    if (!element) return
    const measure = () => {
      const before = size.current
      const after = { width: element.clientWidth, height: element.clientHeight }
      if (after.width === 0 || (before.width === after.width && before.height === after.height)) return
      size.current = after
      live.current = live.current
        ? viewKeep(live.current, page, before, after)
        : viewOpen(openingHere(opening), page, after)
      settle()
    }
    measure()
    const watch = new ResizeObserver(measure)
    watch.observe(element)
    return () => watch.disconnect()
  }, [page, opening, settle])

  useEffect(
    () => () => {
      clearTimeout(timer.current)
      cancelAnimationFrame(ticket.current)
    },
    [],
  )

  return useMemo(
    () => ({
      frame,
      sheet,
      marks,
      whereabouts,
      rest,
      window: () => size.current,
      now: () => live.current,
      zoom: (factor, about) => {
        const { width, height } = size.current
        change((view) => viewZoom(view, factor, about ?? { x: width / 2, y: height / 2 }, page, size.current))
      },
      pan: (dx, dy) => change((view) => viewPan(view, dx, dy, page, size.current)),
      whole: () => change(() => viewFit(page, size.current)),
      reading: () => change(() => viewOpen(openingHere(opening), page, size.current)),
      opensWhole: () => viewIsWhole(viewOpen(openingHere(opening), page, size.current), page, size.current),
      bring: (point, scale) => change((view) => viewCentre(point, Math.max(view.scale, scale), page, size.current)),
      settle,
    }),
    [rest, change, settle, page, opening],
  )
}

const WIDE = '(min-width: 64rem)'

/** The scale at which numbers stand far enough apart for what they are pressed with here; the style sheet says the same. */
export function readingScale(opening: Opening): number {
  return opening.scale * (matchMedia(WIDE).matches ? APART_PIXELS.mouse : APART_PIXELS.thumb)
}

/** On a phone the numbers of a whole sheet are too small to read: it opens among them, with the whole sheet one press away. */
function openingHere(opening: Opening): Opening {
  return { scale: readingScale(opening), at: opening.at, all: matchMedia(WIDE).matches ? opening.all : null }
}

/** The window's outline on the small map. Moved by its transform, so that a drag lays nothing out anew. */
function placeWhereabouts(style: CSSStyleDeclaration, view: View, page: Size, window: Size): void {
  const across = Math.min(window.width, page.width * view.scale)
  const down = Math.min(window.height, page.height * view.scale)
  const width = `${(100 * across) / (page.width * view.scale)}%`
  const height = `${(100 * down) / (page.height * view.scale)}%`
  if (style.width !== width) style.width = width
  if (style.height !== height) style.height = height
  style.transform = `translate(${(100 * Math.max(0, -view.left)) / across}%, ${(100 * Math.max(0, -view.top)) / down}%)`
}
