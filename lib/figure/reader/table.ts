import type { PageRules } from './page-lines.ts'
import type { GreyPage, Recogniser, TextRun } from './schema.ts'
import { type RuledCell, ruledGrids } from './table-grid.ts'
import { type ReadTable, ruledTableRead } from './table-ruled.ts'

export interface TablePage {
  page: GreyPage
  runs: readonly TextRun[]
  rules: PageRules
  cells: readonly RuledCell[]
  tolerance: number
}

/** Every parts list of the page, ruled or plain, in the order in which they stand. */
export async function tablesRead(
  { page, runs, cells, tolerance }: TablePage,
  recognise: Recogniser,
): Promise<ReadTable[]> {
  const tables: ReadTable[] = []
  for (const grid of ruledGrids(cells, tolerance)) {
    const table = await ruledTableRead(page, runs, grid, recognise)
    if (table) tables.push(table)
  }
  return tables
}
