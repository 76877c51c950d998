import { inTransaction } from '../../lib/db/transaction.ts'

const BEGAN = new Date('2026-01-01T00:00:00Z')

/** A parts list line of the part on a new figure of the machine's model. */
export function aFigureLine(
  machineId: number,
  partId: number,
  quantity: number,
  more: { positions?: { code: string; label: string }[]; serialFrom?: string | null } = {},
): Promise<void> {
  const { positions = [], serialFrom = null } = more
  return inTransaction(async (tx) => {
    const { modelId } = await tx.machine.findUniqueOrThrow({ where: { id: machineId } })
    await tx.picture.upsert({
      where: { id: 'p' },
      create: {
        id: 'p',
        mediaType: 'image/svg+xml',
        extension: 'svg',
        bytes: 1,
        width: 1,
        height: 1,
        createdAt: BEGAN,
      },
      update: {},
    })
    const figure = await tx.figure.create({
      data: {
        title: 'Axle',
        pictureId: 'p',
        width: 1,
        height: 1,
        positions: JSON.stringify(positions),
        createdAt: BEGAN,
      },
    })
    const number = `F${figure.id}`
    await tx.figureOfModel.create({ data: { modelId, figureId: figure.id, number, numberKey: number } })
    await tx.partsListLine.create({
      data: { figureId: figure.id, sort: 1, item: '5', partId, description: 'Shoe', quantity, serialFrom },
    })
  })
}
