import { MAP_MAX } from './place-schema.ts'

/** Columns and rows of an empty map while the first bin is put on it. */
const FIRST = { columns: 4, rows: 3 }

const upTo = (last: number) => Array.from({ length: Math.min(MAP_MAX, last) }, (_, at) => at + 1)

/**
 * Columns and rows of a store's map, counted from 1: as far as bins stand. While a bin is being put (`grows`) there is one more
 * of each, so that the map can grow, and a few where it is empty.
 */
export function mapSquares(
  squares: readonly { column: number; row: number }[],
  grows: boolean,
): { columns: number[]; rows: number[] } {
  const columns = Math.max(0, ...squares.map((square) => square.column))
  const rows = Math.max(0, ...squares.map((square) => square.row))
  if (!grows) return { columns: upTo(columns), rows: upTo(rows) }
  return { columns: upTo(Math.max(FIRST.columns, columns + 1)), rows: upTo(Math.max(FIRST.rows, rows + 1)) }
}
