import { partNumberKey } from '../catalogue/part-number.ts'
import type { FigureAttachInput } from '../catalogue/schema.ts'
import { Refusal } from '../refusal.ts'
import { database } from './client.ts'
import { type WriteContext, write } from './transaction.ts'

/**
 * Puts a figure of another model into a model's book as well, under a number of its own. Drawing, callouts and lines stay one:
 * what is put right in one book is right in all. Refuses with 'figure/no-such' and 'figure/exists'.
 */
export function figureAttach(
  context: WriteContext,
  input: FigureAttachInput,
): Promise<{ modelId: number; figureId: number }> {
  return write(context, 'figure.attach', input, async (tx) => {
    const { modelId, figureId, number } = input
    const [model, figure] = await Promise.all([
      tx.machineModel.findUnique({ where: { id: modelId } }),
      tx.figure.findUnique({ where: { id: figureId }, select: { id: true } }),
    ])
    if (!model || !figure) throw new Refusal('figure/no-such')
    const numberKey = partNumberKey(number)
    if (numberKey === '')
      throw new Refusal(
        'input/invalid',
        { what: 'the number of the figure' },
        { fields: { number: 'a number has a letter or a digit' } },
      )
    const there = await tx.figureOfModel.findFirst({ where: { modelId, OR: [{ figureId }, { numberKey }] } })
    if (there)
      throw new Refusal(
        'figure/exists',
        { number: there.number, model: `${model.maker} ${model.name}` },
        { fields: { number: there.figureId === figureId ? `in this book as ${there.number}` : 'taken' } },
      )
    await tx.figureOfModel.create({ data: { modelId, figureId, number, numberKey } })
    return { modelId, figureId }
  })
}

export interface FigureElsewhere {
  id: number
  title: string
  number: string
  model: string
  picture: { id: string }
  lines: number
}

/** Figures of other models that hold the words in title or number and are not in this model's book; at most thirty. */
export async function figuresElsewhere(modelId: number, words: string): Promise<FigureElsewhere[]> {
  const text = words.trim()
  const rows = await database().figureOfModel.findMany({
    where: {
      modelId: { not: modelId },
      figure: { models: { none: { modelId } } },
      ...(text === '' ? {} : { OR: [{ number: { contains: text } }, { figure: { title: { contains: text } } }] }),
    },
    include: { model: true, figure: { include: { _count: { select: { lines: true } } } } },
    orderBy: [{ modelId: 'asc' }, { numberKey: 'asc' }],
    take: 30,
  })
  const once = new Map(rows.map((row) => [row.figureId, row]))
  return [...once.values()].map((row) => ({
    id: row.figureId,
    title: row.figure.title,
    number: row.number,
    model: `${row.model.maker} ${row.model.name}`,
    picture: { id: row.figure.pictureId },
    lines: row.figure._count.lines,
  }))
}

/** The other models whose books have each figure, by figure id: "also in 92N as 3-04". */
export async function figuresSharedWith(
  figureIds: readonly number[],
  modelId: number,
): Promise<Map<number, { modelId: number; model: string; number: string }[]>> {
  const rows = await database().figureOfModel.findMany({
    where: { figureId: { in: [...figureIds] }, modelId: { not: modelId } },
    include: { model: true },
    orderBy: { modelId: 'asc' },
  })
  const shared = new Map<number, { modelId: number; model: string; number: string }[]>()
  for (const row of rows)
    shared.set(row.figureId, [
      ...(shared.get(row.figureId) ?? []),
      { modelId: row.modelId, model: `${row.model.maker} ${row.model.name}`, number: row.number },
    ])
  return shared
}
