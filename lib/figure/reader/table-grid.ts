import type { PageRules, Rule } from './page-lines.ts'

/** Rows of a ruled list one below the other with the same columns: `walls` are x, `shelves` are y (one more than rows). */
export interface Grid {
  walls: number[]
  shelves: number[]
}

/** A closed rectangle between rules. */
export interface RuledCell {
  left: number
  right: number
  top: number
  bottom: number
}

const ROWS_MIN = 2
const COLUMNS_MIN = 2

/** Smallest closed rectangles between rules. */
export function ruledCells({ across, down }: PageRules, tolerance: number): RuledCell[] {
  const cells: RuledCell[] = []
  const least = 2.5 * tolerance
  // A rule may end a little short of the wall it meets.
  const reach = 2 * tolerance
  for (const [at, shelf] of across.entries()) {
    const walls = down.filter(
      (wall) =>
        wall.at >= shelf.from - reach &&
        wall.at <= shelf.to + reach &&
        wall.from <= shelf.at + tolerance &&
        wall.to >= shelf.at + least,
    )
    for (let n = 0; n + 1 < walls.length; n++) {
      const left = walls[n]!
      const right = rightWall(walls, n, least)
      if (right === null) continue
      const floor = across.find(
        (below, index) =>
          index > at && below.at >= shelf.at + least && below.from <= left.at + reach && below.to >= right.at - reach,
      )
      if (floor && floor.at <= left.to + tolerance && floor.at <= right.to + tolerance)
        cells.push({ left: left.at, right: right.at, top: shelf.at, bottom: floor.at })
    }
  }
  return cells
}

/** The next wall, past the second line of a double one. */
function rightWall(walls: readonly Rule[], from: number, least: number): Rule | null {
  for (let n = from + 1; n < walls.length; n++) if (walls[n]!.at - walls[from]!.at >= least) return walls[n]!
  return null
}

interface Row {
  top: number
  bottom: number
  walls: number[]
}

/** Cells side by side with the same top and bottom, left to right. */
function rowsOf(cells: readonly RuledCell[], tolerance: number): Row[] {
  const rows: Row[] = []
  const sorted = [...cells].sort((a, b) => a.left - b.left || a.top - b.top)
  for (const cell of sorted) {
    const row = rows.find(
      (one) =>
        Math.abs(one.top - cell.top) <= tolerance &&
        Math.abs(one.bottom - cell.bottom) <= tolerance &&
        Math.abs(one.walls.at(-1)! - cell.left) <= tolerance,
    )
    if (row) row.walls.push(cell.right)
    else rows.push({ top: cell.top, bottom: cell.bottom, walls: [cell.left, cell.right] })
  }
  return rows.sort((a, b) => a.top - b.top)
}

function sameWalls(a: readonly number[], b: readonly number[], tolerance: number): boolean {
  return a.length === b.length && a.every((wall, at) => Math.abs(wall - b[at]!) <= tolerance)
}

/** True when every wall of `some` is one of `all`, the outer ones included: a cell may span columns. */
function wallsAmong(some: readonly number[], all: readonly number[], tolerance: number): boolean {
  const near = (a: number, b: number) => Math.abs(a - b) <= tolerance
  return (
    near(some[0]!, all[0]!) &&
    near(some.at(-1)!, all.at(-1)!) &&
    some.every((wall) => all.some((one) => near(one, wall)))
  )
}

/**
 * Ruled lists of the page: stacks of rows that share their columns. A row whose inner rule is broken, or whose cell spans
 * columns, stays in the stack it lies in; title blocks have no two rows alike and are no stack.
 */
export function ruledGrids(cells: readonly RuledCell[], tolerance: number): Grid[] {
  const rows = rowsOf(cells, tolerance)
  const used = new Set<Row>()
  const grids: Grid[] = []
  const byWidth = rows
    .filter((row) => row.walls.length > COLUMNS_MIN)
    .sort((a, b) => b.walls.length - a.walls.length || a.top - b.top)
  for (const seed of byWidth) {
    if (used.has(seed)) continue
    const stack = [seed]
    used.add(seed)
    const grow = (way: 'up' | 'down'): void => {
      for (;;) {
        const end = way === 'down' ? stack.at(-1)! : stack[0]!
        const next = rows.find(
          (row) =>
            !used.has(row) &&
            Math.abs(way === 'down' ? row.top - end.bottom : row.bottom - end.top) <= tolerance &&
            wallsAmong(row.walls, seed.walls, tolerance),
        )
        if (next === undefined) return
        used.add(next)
        if (way === 'down') stack.push(next)
        else stack.unshift(next)
      }
    }
    grow('down')
    grow('up')
    const alike = stack.filter((row) => sameWalls(row.walls, seed.walls, tolerance)).length
    if (alike < ROWS_MIN && stack.length < 2) continue
    if (alike < ROWS_MIN && !stack.some((row) => row.bottom - row.top > 12 * tolerance)) continue
    grids.push({ walls: seed.walls, shelves: [stack[0]!.top, ...stack.map((row) => row.bottom)] })
  }
  return grids
}
