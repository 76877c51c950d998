import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { type CellPiece, NUMBER_COLUMNS, TABLE_COLUMNS, type TableColumn } from '@/lib/stock/table.ts'
import type { TableLine } from './table-line.ts'

export function StockHead({ columns }: { columns: readonly TableColumn[] }) {
  return (
    <tr>
      <th scope="col">Part number</th>
      {columns.map((column) => (
        <th key={column} scope="col" className={NUMBER_COLUMNS.has(column) ? 'right' : undefined}>
          {TABLE_COLUMNS[column]}
        </th>
      ))}
    </tr>
  )
}

export function StockCells({ line, columns }: { line: TableLine; columns: readonly TableColumn[] }) {
  return (
    <>
      <td className="number">
        <Link href={paths.part(line.id)} prefetch={false} data-part={line.id}>
          {line.number}
        </Link>
      </td>
      {columns.map((column, at) => (
        <td
          key={column}
          className={NUMBER_COLUMNS.has(column) ? 'right' : 'wide'}
          data-label={column === 'description' || column === 'stock' ? undefined : TABLE_COLUMNS[column]}
        >
          <Pieces pieces={line.cells[at] ?? []} />
        </td>
      ))}
    </>
  )
}

function Pieces({ pieces }: { pieces: readonly CellPiece[] }) {
  const shown = pieces.map((piece) =>
    piece.bin === undefined ? (
      piece.text
    ) : (
      <Link key={piece.bin} href={paths.bin(piece.bin)} prefetch={false}>
        {piece.text}
      </Link>
    ),
  )
  return <>{shown}</>
}
