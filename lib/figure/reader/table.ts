import type { Ink } from './page-ink.ts'
import type { PageRules } from './page-lines.ts'
import { piecesOfInk, piecesOfRuns } from './page-pieces.ts'
import type { GreyPage, Recogniser, TextRun } from './schema.ts'
import { type RuledCell, ruledGrids } from './table-grid.ts'
import { plainTablesRead } from './table-plain.ts'
import { type ReadTable, ruledTableRead } from './table-ruled.ts'

export interface TablePage {
  page: GreyPage
  runs: readonly TextRun[]
  ink: Ink
  rules: PageRules
  cells: readonly RuledCell[]
  tolerance: number
}

/** From so many rows a ruled list is taken for the list of the page, and no plain one is looked for. */
const RULED_ROWS = 3

/** Every parts list of the page, in the order in which they stand: ruled ones, and plain ones where there is no ruled one. */
export async function tablesRead(
  { page, runs, ink, rules, cells, tolerance }: TablePage,
  recognise: Recogniser,
): Promise<ReadTable[]> {
  const tables: ReadTable[] = []
  for (const grid of ruledGrids(cells, tolerance)) {
    const table = await ruledTableRead(page, runs, grid, recognise)
    if (table) tables.push(table)
  }
  if (tables.reduce((count, table) => count + table.rows.length, 0) >= RULED_ROWS) return tables
  const pieces = runs.length > 0 ? piecesOfRuns(runs) : piecesOfInk(ink, rules)
  const plain = await plainTablesRead(page, pieces, recognise)
  return plain.length > 0 ? plain : tables
}
