import { database } from './client.ts'

export interface FigureNeighbour {
  id: number
  number: string
  title: string
}

/** The figures before and after this one in the model's parts book, in the order of their numbers. */
export async function figureNeighbours(
  modelId: number,
  figureId: number,
): Promise<{ previous: FigureNeighbour | null; next: FigureNeighbour | null }> {
  const rows = await database().figureOfModel.findMany({
    where: { modelId },
    select: { number: true, figureId: true, figure: { select: { title: true } } },
  })
  const book = rows
    .map((row) => ({ id: row.figureId, number: row.number, title: row.figure.title }))
    .sort((a, b) => a.number.localeCompare(b.number, 'en', { numeric: true }))
  const at = book.findIndex((figure) => figure.id === figureId)
  return { previous: book[at - 1] ?? null, next: at === -1 ? null : (book[at + 1] ?? null) }
}

/** The machines whose parts book has the figure, by fleet number: several models may share one. */
export function machinesOfFigure(
  figureId: number,
): Promise<{ id: number; fleetNumber: string; name: string; serialNumber: string | null }[]> {
  return database().machine.findMany({
    where: { model: { figures: { some: { figureId } } } },
    select: { id: true, fleetNumber: true, name: true, serialNumber: true },
    orderBy: { fleetKey: 'asc' },
  })
}
