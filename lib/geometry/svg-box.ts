import type { Point } from './view.ts'

/** The upright box around points; null around none. */
export interface Box {
  left: number
  top: number
  right: number
  bottom: number
}

export function boxAround(points: readonly Point[]): Box | null {
  if (points.length === 0) return null
  const box = {
    left: Number.POSITIVE_INFINITY,
    top: Number.POSITIVE_INFINITY,
    right: Number.NEGATIVE_INFINITY,
    bottom: Number.NEGATIVE_INFINITY,
  }
  for (const { x, y } of points) {
    box.left = Math.min(box.left, x)
    box.top = Math.min(box.top, y)
    box.right = Math.max(box.right, x)
    box.bottom = Math.max(box.bottom, y)
  }
  return box
}

/** Rows of the matrix of SVG: x' = a x + c y + e, y' = b x + d y + f. */
export type Matrix = readonly [a: number, b: number, c: number, d: number, e: number, f: number]
export const MATRIX_SAME: Matrix = [1, 0, 0, 1, 0, 0]

export function matrixTimes([a, b, c, d, e, f]: Matrix, [g, h, i, j, k, l]: Matrix): Matrix {
  return [a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * l + e, b * k + d * l + f]
}

export function matrixPoint([a, b, c, d, e, f]: Matrix, { x, y }: Point): Point {
  return { x: a * x + c * y + e, y: b * x + d * y + f }
}

const numbers = (text: string): number[] => (text.match(/[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/gi) ?? []).map(Number)

/** The transform attribute as one matrix (SVG 1.1, 7.6): the first of the list is the outermost. */
export function transformMatrix(text: string): Matrix {
  let matrix = MATRIX_SAME
  for (const [, name, inside] of text.matchAll(/(\w+)\s*\(([^)]*)\)/g)) {
    const [p = 0, q, r, s, t, u] = numbers(inside ?? '')
    const turn = (p * Math.PI) / 180
    const [cos, sin, tan] = [Math.cos(turn), Math.sin(turn), Math.tan(turn)]
    const about: Matrix = [cos, sin, -sin, cos, 0, 0]
    const next: Record<string, Matrix> = {
      translate: [1, 0, 0, 1, p, q ?? 0],
      scale: [p, 0, 0, q ?? p, 0, 0],
      rotate: matrixTimes(matrixTimes([1, 0, 0, 1, q ?? 0, r ?? 0], about), [1, 0, 0, 1, -(q ?? 0), -(r ?? 0)]),
      skewX: [1, 0, tan, 1, 0, 0],
      skewY: [1, tan, 0, 1, 0, 0],
      matrix: [p, q ?? 0, r ?? 0, s ?? 1, t ?? 0, u ?? 0],
    }
    const step = next[name ?? '']
    if (step) matrix = matrixTimes(matrix, step)
  }
  return matrix
}

/** Values of one command of a path, and which of them are points. */
const PATH_VALUES: Record<string, number> = { M: 2, L: 2, T: 2, H: 1, V: 1, C: 6, S: 4, Q: 4, A: 7, Z: 0 }

/** Points a path goes through or is drawn towards: its box is the curve's or a little larger. */
export function pathPoints(d: string): Point[] {
  const points: Point[] = []
  let [x, y, startX, startY] = [0, 0, 0, 0]
  for (const [, letter = '', inside = ''] of d.matchAll(/([MLHVCSQTAZ])([^MLHVCSQTAZ]*)/gi)) {
    const command = letter.toUpperCase()
    const relative = letter !== command
    const values = numbers(inside)
    const step = PATH_VALUES[command] ?? 0
    if (command === 'Z') [x, y] = [startX, startY]
    for (let at = 0; step > 0 && at + step <= values.length; at += step) {
      const [baseX, baseY] = relative ? [x, y] : [0, 0]
      const part = values.slice(at, at + step)
      if (command === 'H') x = baseX + part[0]!
      else if (command === 'V') y = baseY + part[0]!
      else {
        const from = command === 'A' ? 5 : 0
        for (let pair = from; pair < step; pair += 2) {
          points.push({ x: baseX + part[pair]!, y: baseY + part[pair + 1]! })
        }
        ;({ x, y } = points.at(-1)!)
      }
      if (command === 'M' && at === 0) [startX, startY] = [x, y]
      points.push({ x, y })
    }
  }
  return points
}

/** Corners of what an element draws, in its own units; empty for groups and what draws nothing. */
export function elementPoints(name: string, attributes: Readonly<Record<string, string>>): Point[] {
  const value = (key: string) => Number.parseFloat(attributes[key] ?? '') || 0
  const corners = (x: number, y: number, width: number, height: number) => [
    { x, y },
    { x: x + width, y },
    { x, y: y + height },
    { x: x + width, y: y + height },
  ]
  if (name === 'rect' || name === 'image') return corners(value('x'), value('y'), value('width'), value('height'))
  if (name === 'circle')
    return corners(value('cx') - value('r'), value('cy') - value('r'), 2 * value('r'), 2 * value('r'))
  if (name === 'ellipse')
    return corners(value('cx') - value('rx'), value('cy') - value('ry'), 2 * value('rx'), 2 * value('ry'))
  if (name === 'line')
    return [
      { x: value('x1'), y: value('y1') },
      { x: value('x2'), y: value('y2') },
    ]
  if (name === 'path') return pathPoints(attributes.d ?? '')
  // The place where a text begins; how wide it is depends on the letters of the machine that shows it.
  if (name === 'text' || name === 'tspan')
    return attributes.x === undefined && attributes.y === undefined ? [] : [{ x: value('x'), y: value('y') }]
  if (name !== 'polyline' && name !== 'polygon') return []
  const flat = numbers(attributes.points ?? '')
  return Array.from({ length: Math.floor(flat.length / 2) }, (_, at) => ({ x: flat[2 * at]!, y: flat[2 * at + 1]! }))
}
