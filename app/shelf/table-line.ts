import { type CellPiece, type TableColumn, type TableRow, tableCell } from '@/lib/stock/table.ts'

/** A row of the stock table as it is shown: by the first page and by what comes while somebody scrolls. */
export interface TableLine {
  id: number
  number: string
  cells: CellPiece[][]
}

export function tableLine(row: TableRow, columns: readonly TableColumn[], currency: string, today: string): TableLine {
  return { id: row.partId, number: row.number, cells: columns.map((column) => tableCell(row, column, currency, today)) }
}
