import type { Shape } from '../shape.ts'
import { helix, tube } from '../solid.ts'
import { around, type Vec } from '../vector.ts'

/** Compression spring along x with closed ends. */
export function coilSpring(length: number, radius: number, wire: number, turns: number): Shape {
  const flat = wire * 1.02
  const path = [
    ...helix(wire / 2, wire / 2 + flat, radius, 1),
    ...helix(wire / 2 + flat, length - wire / 2 - flat, radius, turns - 2).slice(1),
    ...helix(length - wire / 2 - flat, length - wire / 2, radius, 1, { startDegrees: 360 * (turns - 2) }).slice(1),
  ]
  return tube(path, wire / 2)
}

/** Conical spring, as under an inlet valve or over a hold-down pin. */
export const conicalSpring = (length: number, wide: number, narrow: number, wire: number, turns: number): Shape =>
  tube(helix(wire / 2, length - wire / 2, wide, turns, { endRadius: narrow }), wire / 2)

/** Tension spring along x: close coils in the middle, a straight run and an open hook at either end. */
export function tensionSpring(length: number, coils: number, radius: number, wire: number): Shape {
  const body = coils * wire * 1.04
  const start = (length - body) / 2
  const hook = Math.min(radius, start / 2)
  const near: Vec[] = Array.from({ length: 15 }, (_, k) => {
    const [, c, s] = around(0, hook, 40 + (k * 255) / 14)
    return [hook + c, 0, s]
  })
  const coil = helix(start, start + body, radius, coils, { startDegrees: -90 })
  const far: Vec[] = [...near].reverse().map(([x, y, z]): Vec => [length - x, y, z])
  return tube([...near, ...coil, ...far], wire / 2)
}
