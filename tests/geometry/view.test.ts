import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  OPEN_MARGIN_PIXELS,
  OPEN_TIMES_FIT_MAX,
  SCALE_TIMES_FIT_MAX,
  viewCentre,
  viewClamp,
  viewFit,
  viewIsWhole,
  viewKeep,
  viewOpen,
  viewPan,
  viewShows,
  viewToPage,
  viewToScreen,
  viewZoom,
} from '../../lib/geometry/view.ts'

fc.configureGlobal({ seed: 20260105 })

const length = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const size = (min: number, max: number) => fc.record({ width: length(min, max), height: length(min, max) })
const page = size(100, 4000)
const window = size(200, 2000)
const point = fc.record({ x: length(-3000, 3000), y: length(-3000, 3000) })
const view = fc.record({ scale: length(0.01, 20), left: length(-5000, 5000), top: length(-5000, 5000) })

describe('the drawing in its window', () => {
  test('a point of the page goes to the screen and comes back', () => {
    fc.assert(
      fc.property(view, point, (at, spot) => {
        const back = viewToPage(at, viewToScreen(at, spot))
        expect(back.x).toBeCloseTo(spot.x, 6)
        expect(back.y).toBeCloseTo(spot.y, 6)
      }),
    )
  })

  test('fits whole and in the middle: 400 x 100 in 800 x 600 is twice as large, with 200 free above and below', () => {
    expect(viewFit({ width: 400, height: 100 }, { width: 800, height: 600 })).toEqual({ scale: 2, left: 0, top: 200 })
  })

  test('is never smaller than whole, never larger than twelve times that, never pushed out of the window', () => {
    fc.assert(
      fc.property(view, page, window, (at, sheet, glass) => {
        const fit = viewFit(sheet, glass)
        const { scale, left, top } = viewClamp(at, sheet, glass)
        expect(scale).toBeGreaterThanOrEqual(fit.scale)
        expect(scale).toBeLessThanOrEqual(fit.scale * SCALE_TIMES_FIT_MAX)
        for (const [offset, across, room] of [
          [left, sheet.width * scale, glass.width],
          [top, sheet.height * scale, glass.height],
        ] as const) {
          // Smaller than the window: wholly inside. Larger: it covers the window from edge to edge.
          expect(offset).toBeGreaterThanOrEqual(Math.min(0, room - across) - 1e-6)
          expect(offset + across).toBeLessThanOrEqual(Math.max(room, across) + 1e-6)
          if (across <= room) expect(offset).toBeCloseTo((room - across) / 2, 6)
        }
      }),
    )
  })

  test('a view that is allowed is left as it is', () => {
    fc.assert(
      fc.property(view, page, window, (at, sheet, glass) => {
        const once = viewClamp(at, sheet, glass)
        const twice = viewClamp(once, sheet, glass)
        expect(twice.scale).toBeCloseTo(once.scale, 9)
        expect(twice.left).toBeCloseTo(once.left, 6)
        expect(twice.top).toBeCloseTo(once.top, 6)
      }),
    )
  })

  test('what lies under the finger stays there while zooming, as long as no edge is met', () => {
    let free = 0
    fc.assert(
      fc.property(page, window, fc.double({ min: 1, max: 3, noNaN: true }), point, (sheet, glass, factor, about) => {
        const fit = viewFit(sheet, glass)
        const middle = { x: sheet.width / 2, y: sheet.height / 2 }
        const before = viewCentre(middle, fit.scale * 3, sheet, glass)
        const finger = { x: Math.abs(about.x) % glass.width, y: Math.abs(about.y) % glass.height }
        const after = viewZoom(before, factor, finger, sheet, glass)
        const wish = {
          left: finger.x - viewToPage(before, finger).x * after.scale,
          top: finger.y - viewToPage(before, finger).y * after.scale,
        }
        const held = viewClamp({ scale: after.scale, ...wish }, sheet, glass)
        if (Math.abs(held.left - wish.left) > 1e-9 || Math.abs(held.top - wish.top) > 1e-9) return
        free += 1
        const under = viewToPage(before, finger)
        const now = viewToPage(after, finger)
        expect(now.x).toBeCloseTo(under.x, 6)
        expect(now.y).toBeCloseTo(under.y, 6)
      }),
    )
    // Otherwise the law above was never put to the test.
    expect(free).toBeGreaterThan(20)
  })

  test('zooms no further than its largest, and then does not creep', () => {
    const sheet = { width: 500, height: 300 }
    const glass = { width: 1000, height: 600 }
    const largest = viewCentre({ x: 260, y: 140 }, 24, sheet, glass)
    expect(largest.scale).toBe(24)
    const again = viewZoom(largest, 1.5, { x: 130, y: 470 }, sheet, glass)
    expect(again.scale).toBe(24)
    expect(again.left).toBeCloseTo(largest.left, 6)
    expect(again.top).toBeCloseTo(largest.top, 6)
  })

  test('moves with the finger until its edge meets the edge of the window', () => {
    const sheet = { width: 400, height: 300 }
    const glass = { width: 400, height: 300 }
    const near = viewCentre({ x: 200, y: 150 }, 4, sheet, glass)
    expect(near).toEqual({ scale: 4, left: -600, top: -450 })
    expect(viewPan(near, 30, -20, sheet, glass)).toEqual({ scale: 4, left: -570, top: -470 })
    expect(viewPan(near, 9999, -9999, sheet, glass)).toEqual({ scale: 4, left: 0, top: -900 })
  })

  test('a callout is brought to the middle where the page allows it', () => {
    const sheet = { width: 1400, height: 900 }
    const glass = { width: 360, height: 640 }
    const at = viewToScreen(viewCentre({ x: 700, y: 450 }, 2, sheet, glass), { x: 700, y: 450 })
    expect(at).toEqual({ x: 180, y: 320 })
    // In the corner the page's edge stops it first: the callout stays in sight, off the middle.
    expect(viewToScreen(viewCentre({ x: 10, y: 20 }, 2, sheet, glass), { x: 10, y: 20 })).toEqual({ x: 20, y: 40 })
  })

  test('opens where its numbers can be read, whole when that is nearly so, never closer than four times whole', () => {
    const sheet = { width: 1000, height: 500 }
    const glass = { width: 500, height: 500 }
    const at = { x: 700, y: 250 }
    expect(viewOpen({ scale: 1.2, at }, sheet, glass)).toEqual({ scale: 1.2, left: -590, top: -50 })
    expect(viewOpen({ scale: 0.57, at }, sheet, glass)).toEqual(viewFit(sheet, glass))
    expect(viewOpen({ scale: 0, at }, sheet, glass)).toEqual(viewFit(sheet, glass))
    expect(viewOpen({ scale: 99, at }, sheet, glass).scale).toBe(0.5 * OPEN_TIMES_FIT_MAX)
  })

  test('opens no closer than shows all its numbers, half a button from the edge of the window', () => {
    const box = fc
      .tuple(length(0, 1), length(0, 1), length(0, 1), length(0, 1))
      .map(([a, b, c, d]) => [Math.min(a, b), Math.max(a, b), Math.min(c, d), Math.max(c, d)] as const)
    let closer = 0
    fc.assert(
      fc.property(length(0.01, 5), page, window, box, (scale, sheet, glass, [x0, x1, y0, y1]) => {
        const all = {
          left: x0 * sheet.width,
          right: x1 * sheet.width,
          top: y0 * sheet.height,
          bottom: y1 * sheet.height,
        }
        const at = { x: all.left, y: all.bottom }
        const opened = viewOpen({ scale, at, all }, sheet, glass)
        if (opened.scale > viewFit(sheet, glass).scale * 1.01) closer += 1
        for (const corner of [
          { x: all.left, y: all.top },
          { x: all.right, y: all.bottom },
        ])
          expect(viewShows(opened, corner, glass, OPEN_MARGIN_PIXELS - 1e-6)).toBe(true)
        expect(opened.scale).toBeLessThanOrEqual(viewOpen({ scale, at }, sheet, glass).scale + 1e-9)
      }),
    )
    // It is not simply shown whole each time.
    expect(closer).toBeGreaterThan(5)
  })

  test('a wide sheet whose numbers are all well inside opens in the middle of the window, not at its foot', () => {
    const sheet = { width: 1400, height: 900 }
    const glass = { width: 784, height: 630 }
    const all = { left: 400, top: 300, right: 1000, bottom: 600 }
    expect(viewOpen({ scale: 0, at: { x: 700, y: 450 }, all }, sheet, glass)).toEqual(viewFit(sheet, glass))
    // Two numbers close together: as near as four times whole, and the sheet fills the window.
    const pair = { left: 600, top: 400, right: 640, bottom: 430 }
    const opened = viewOpen({ scale: 9, at: { x: 620, y: 415 }, all: pair }, sheet, glass)
    expect(viewToScreen(opened, { x: 620, y: 415 }).x).toBeCloseTo(glass.width / 2, 6)
    expect(viewToScreen(opened, { x: 620, y: 415 }).y).toBeCloseTo(glass.height / 2, 6)
  })

  test('opens with every number in sight and no more of the sheet pushed out than the window asks for', () => {
    fc.assert(
      fc.property(page, window, fc.double({ min: 0.2, max: 0.45, noNaN: true }), (sheet, glass, inset) => {
        const all = {
          left: inset * sheet.width,
          right: (1 - inset) * sheet.width,
          top: inset * sheet.height,
          bottom: (1 - inset) * sheet.height,
        }
        const fit = viewFit(sheet, glass)
        const opened = viewOpen({ scale: 0, at: { x: all.left, y: all.top }, all }, sheet, glass)
        fc.pre(opened.scale === fit.scale)
        expect(opened.left).toBeCloseTo(fit.left, 6)
        expect(opened.top).toBeCloseTo(fit.top, 6)
      }),
    )
  })

  test('a phone turned on its side keeps the middle in the middle, and the whole whole', () => {
    fc.assert(
      fc.property(page, window, window, (sheet, before, after) => {
        expect(viewIsWhole(viewKeep(viewFit(sheet, before), sheet, before, after), sheet, after)).toBe(true)
      }),
    )
    const sheet = { width: 1000, height: 1000 }
    const [upright, aside] = [
      { width: 300, height: 600 },
      { width: 600, height: 300 },
    ]
    const view = viewCentre({ x: 400, y: 600 }, 2, sheet, upright)
    expect(viewToPage(viewKeep(view, sheet, upright, aside), { x: 300, y: 150 })).toEqual({ x: 400, y: 600 })
  })

  test('a number near the edge of the window counts as out of sight', () => {
    const view = { scale: 1, left: 0, top: 0 }
    const glass = { width: 300, height: 300 }
    expect(viewShows(view, { x: 20, y: 280 }, glass, 20)).toBe(true)
    expect(viewShows(view, { x: 19, y: 150 }, glass, 20)).toBe(false)
    expect(viewShows(view, { x: 150, y: 281 }, glass, 20)).toBe(false)
  })

  test('a window that is not laid out yet gives numbers, not nonsense', () => {
    const none = { width: 0, height: 0 }
    const at = viewZoom(viewFit({ width: 10, height: 20 }, none), 2, { x: 0, y: 0 }, { width: 10, height: 20 }, none)
    expect(Object.values(at).every(Number.isFinite)).toBe(true)
  })
})
