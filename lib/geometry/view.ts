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
