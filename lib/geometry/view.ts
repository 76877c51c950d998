/**
 * What part of a drawing is on screen: `scale` screen pixels for one unit of the drawing, and where the drawing's origin
 * lies on the screen. Lengths on screen are CSS pixels, lengths on the page are units of the drawing.
 */
export interface View {
  scale: number
  left: number
  top: number
}

export interface Size {
  width: number
  height: number
}

export interface Point {
  x: number
  y: number
}

export const SCALE_TIMES_FIT_MAX = 12

/** The whole drawing in the window, centred. */
export function viewFit(page: Size, window: Size): View {
  const scale = Math.min(window.width / page.width, window.height / page.height)
  return { scale, left: (window.width - page.width * scale) / 2, top: (window.height - page.height * scale) / 2 }
}

export function viewToScreen(view: View, point: Point): Point {
  return { x: view.left + point.x * view.scale, y: view.top + point.y * view.scale }
}

export function viewToPage(view: View, point: Point): Point {
  return { x: (point.x - view.left) / view.scale, y: (point.y - view.top) / view.scale }
}

/** Never smaller than the whole page, never larger than twelve times that, and never pushed out of the window. */
export function viewClamp(view: View, page: Size, window: Size): View {
  const fit = viewFit(page, window)
  const scale = Math.max(fit.scale, Math.min(view.scale, fit.scale * SCALE_TIMES_FIT_MAX))
  const slide = (offset: number, length: number, room: number) =>
    length <= room ? (room - length) / 2 : Math.min(0, Math.max(room - length, offset))
  return {
    scale,
    left: slide(view.left, page.width * scale, window.width),
    top: slide(view.top, page.height * scale, window.height),
  }
}

/** Zooms by `factor` so that what lies under `about` on the screen stays there. */
export function viewZoom(view: View, factor: number, about: Point, page: Size, window: Size): View {
  const fit = viewFit(page, window)
  const scale = Math.max(fit.scale, Math.min(view.scale * factor, fit.scale * SCALE_TIMES_FIT_MAX))
  const under = viewToPage(view, about)
  return viewClamp({ scale, left: about.x - under.x * scale, top: about.y - under.y * scale }, page, window)
}

export function viewPan(view: View, dx: number, dy: number, page: Size, window: Size): View {
  return viewClamp({ ...view, left: view.left + dx, top: view.top + dy }, page, window)
}

/** Brings a point of the page to the middle of the window, at `scale` or as near as the page allows. */
export function viewCentre(point: Point, scale: number, page: Size, window: Size): View {
  return viewClamp(
    { scale, left: window.width / 2 - point.x * scale, top: window.height / 2 - point.y * scale },
    page,
    window,
  )
}

/** A drawing opens no closer than this many times its whole size, however close its numbers are printed. */
export const OPEN_TIMES_FIT_MAX = 4
/** Below this many times its whole size it opens whole: the edges are worth more than so little. */
export const OPEN_TIMES_FIT_MIN = 1.15

/** Where a drawing opens: at `scale` with `at` in the middle, as far as window and page allow. */
export interface Opening {
  scale: number
  at: Point
  /** What must all be in sight, on the page; null where the window is too small for that to be read. */
  all?: Span | null
}

/** A part of the page. */
export interface Span {
  left: number
  top: number
  right: number
  bottom: number
}

/** So far from the edge of the window stays the middle of the outermost number, CSS pixels: half its button, and a little. */
export const OPEN_MARGIN_PIXELS = 24

/**
 * The view a drawing opens in: whole when that is nearly large enough, never closer than four times that. With `all` it goes no
 * closer than shows all of that with a margin around it, and a little farther off than whole where numbers stand at the very edge
 * of the sheet.
 */
export function viewOpen({ scale, at, all }: Opening, page: Size, window: Size): View {
  const fit = viewFit(page, window).scale
  const room = (length: number, span: number) => (length - 2 * OPEN_MARGIN_PIXELS) / Math.max(1, span)
  const shows = all
    ? Math.min(room(window.width, all.right - all.left), room(window.height, all.bottom - all.top))
    : Infinity
  const isNearlyWhole = Math.min(scale, shows) < fit * OPEN_TIMES_FIT_MIN
  const opens = Math.min(shows, isNearlyWhole ? fit : Math.min(scale, fit * OPEN_TIMES_FIT_MAX))
  if (!all) return viewCentre(at, opens, page, window)
  const slide = (middle: number, low: number, high: number, length: number, across: number) => {
    const free = across - length * opens
    const onPage = Math.max(Math.min(free, free / 2), Math.min(Math.max(0, free / 2), across / 2 - middle * opens))
    // The numbers first, the sheet in the middle as far as they allow.
    return Math.min(across - OPEN_MARGIN_PIXELS - high * opens, Math.max(OPEN_MARGIN_PIXELS - low * opens, onPage))
  }
  return {
    scale: opens,
    left: slide(at.x, all.left, all.right, page.width, window.width),
    top: slide(at.y, all.top, all.bottom, page.height, window.height),
  }
}

/** True when the whole page is in the window. */
export function viewIsWhole(view: View, page: Size, window: Size): boolean {
  return view.scale <= viewFit(page, window).scale * 1.001
}

/** After the window changed (phone turned, bars of the browser gone): the same point in the middle, the same scale; whole stays whole. */
export function viewKeep(view: View, page: Size, before: Size, after: Size): View {
  if (viewIsWhole(view, page, before)) return viewFit(page, after)
  return viewCentre(viewToPage(view, { x: before.width / 2, y: before.height / 2 }), view.scale, page, after)
}

/** True when the point lies in the window, at least `margin` from its edges. */
export function viewShows(view: View, point: Point, window: Size, margin: number): boolean {
  const { x, y } = viewToScreen(view, point)
  return x >= margin && y >= margin && x <= window.width - margin && y <= window.height - margin
}
