import {
  type Box,
  boxAround,
  elementPoints,
  MATRIX_SAME,
  type Matrix,
  matrixPoint,
  matrixTimes,
  transformMatrix,
} from '../geometry/svg-box.ts'
import type { Point } from '../geometry/view.ts'
import { xmlWalker } from './read-xml.ts'

/**
 * Boxes of the elements with these ids, in the units of the view box, origin at its corner. Elements inside an element with an
 * id belong to it. Ids that the drawing does not have are missing from the answer.
 */
export function svgHotspots(svg: string, ids: ReadonlySet<string>, file: string): Map<string, Box> {
  const points = new Map<string, Point[]>()
  const stack: { matrix: Matrix; id: string | null }[] = []
  const walker = xmlWalker(file, {
    open: (name, attributes) => {
      const outer = stack.at(-1)
      const corner = name === 'svg' && !outer ? (attributes.viewBox ?? '').split(/[\s,]+/).map(Number) : []
      const [left = 0, top = 0] = corner.every(Number.isFinite) ? corner : []
      const own: Matrix = corner.length > 0 ? [1, 0, 0, 1, -left, -top] : MATRIX_SAME
      const matrix = matrixTimes(
        matrixTimes(outer?.matrix ?? MATRIX_SAME, own),
        transformMatrix(attributes.transform ?? ''),
      )
      const id = attributes.id !== undefined && ids.has(attributes.id) ? attributes.id : (outer?.id ?? null)
      stack.push({ matrix, id })
      if (id === null) return
      const found = elementPoints(name, attributes).map((point) => matrixPoint(matrix, point))
      points.set(id, [...(points.get(id) ?? []), ...found])
    },
    close: () => stack.pop(),
  })
  // The document type that drawing programs write declares nothing; one that does is refused by the walker.
  walker.write(svg.replace(/^\ufeff/, '').replace(/<!DOCTYPE\s+svg[^>[]*>/, ''))
  walker.end()
  return new Map(
    [...points].flatMap(([id, list]) => {
      const box = boxAround(list)
      return box ? [[id, box] as const] : []
    }),
  )
}
