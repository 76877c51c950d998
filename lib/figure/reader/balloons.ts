import type { Blobs } from './blobs.ts'
import type { NumberSpot } from './numbers.ts'

/** The ring (circle, hexagon) drawn around an item number. */
export interface Balloon {
  x: number
  y: number
  radius: number
  /** Share of the directions in which the ring was met. */
  seen: number
}

const RAYS = 72

/**
 * The ring around a number, or null. From the middle of the number a ray goes out in every direction to the first ink that
 * is not the number's own; where two thirds of these ends lie on one circle, that is the balloon, whatever touches it outside
 * and though a scan has eaten parts of it.
 */
export function balloonAround(spot: NumberSpot, blobs: Blobs, width: number): Balloon | null {
  const [left, top, right, bottom] = spot.box
  const middleX = (left + right) / 2
  const middleY = (top + bottom) / 2
  const inner = Math.hypot(right - left, bottom - top) / 2
  const reach = Math.max(2.6 * spot.height, 1.9 * inner)
  const own = new Set(spot.blobs)
  const ends: [number, number][] = []
  for (let ray = 0; ray < RAYS; ray++) {
    const angle = (2 * Math.PI * ray) / RAYS
    const [dx, dy] = [Math.cos(angle), Math.sin(angle)]
    for (let far = Math.min(inner, spot.height * 0.5); far < reach; far += 0.7) {
      const x = Math.round(middleX + dx * far - 0.5)
      const y = Math.round(middleY + dy * far - 0.5)
      if (x < 0 || x >= width || y < 0) break
      const label = blobs.labels[y * width + x]
      if (label === undefined) break
      if (label < 0 || own.has(label) || blobs.list[label]!.area < 0.15 * spot.height ** 2) continue
      ends.push([middleX + dx * far, middleY + dy * far])
      break
    }
  }
  if (ends.length < 0.6 * RAYS) return null
  const ring = circleFitted(ends)
  if (!ring) return null
  const { x, y, radius, near } = ring
  const seen = near / RAYS
  if (squareLike(ends, x, y)) return null
  const off = Math.hypot(x - middleX, y - middleY)
  if (seen < 0.6 || off > 0.35 * radius || radius < 0.95 * inner || radius > 2.5 * spot.height) return null
  return { x, y, radius, seen }
}

/** Four straight sides, upright: a cell of a list, not a balloon. A third of a square fits no circle, a broken circle no square. */
function squareLike(ends: readonly [number, number][], x: number, y: number): boolean {
  const sides = ends.map(([px, py]) => Math.max(Math.abs(px - x), Math.abs(py - y))).sort((a, b) => a - b)
  const usual = sides[Math.floor(sides.length / 2)]!
  return sides.filter((side) => Math.abs(side / usual - 1) < 0.06).length > 0.75 * sides.length
}

/** Least squares (Kasa 1976), thrice, each time with the points that lay on the last circle; the first is from medians. */
function circleFitted(
  points: readonly [number, number][],
): { x: number; y: number; radius: number; near: number } | null {
  let kept = [...points]
  let circle = { x: 0, y: 0, radius: 0 }
  for (const loose of [0.3, 0.14, 0.08]) {
    if (kept.length < 12) return null
    const next = kasa(kept)
    if (!next) return null
    circle = next
    kept = points.filter(
      ([px, py]) =>
        Math.abs(Math.hypot(px - circle.x, py - circle.y) - circle.radius) < Math.max(1.6, loose * circle.radius),
    )
  }
  return { ...circle, near: kept.length }
}

function kasa(points: readonly [number, number][]): { x: number; y: number; radius: number } | null {
  const n = points.length
  const mx = points.reduce((s, p) => s + p[0], 0) / n
  const my = points.reduce((s, p) => s + p[1], 0) / n
  let [uu, uv, vv, uz, vz, zz] = [0, 0, 0, 0, 0, 0]
  for (const [px, py] of points) {
    const [u, v] = [px - mx, py - my]
    const z = u * u + v * v
    uu += u * u
    uv += u * v
    vv += v * v
    uz += u * z
    vz += v * z
    zz += z
  }
  const determinant = uu * vv - uv * uv
  if (Math.abs(determinant) < 1e-6 * n * n) return null
  const x = (uz * vv - vz * uv) / (2 * determinant)
  const y = (vz * uu - uz * uv) / (2 * determinant)
  return { x: x + mx, y: y + my, radius: Math.sqrt(x * x + y * y + zz / n) }
}
