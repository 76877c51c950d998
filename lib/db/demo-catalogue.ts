import { ALTERNATIVES, DISCONTINUED, NOTES, SHARED_FIGURE } from '../../seed/estate/catalogue-notes.ts'
import { MODELS } from '../../seed/figures/makers.ts'
import { partNumberKey } from '../catalogue/part-number.ts'
import type { Tx } from './client.ts'
import { partIds, refKey } from './demo-estate.ts'

const DAY_MS = 86_400_000

/**
 * What people of the estate have come to know of its parts. Placed when the three years are over, so that it changes none of
 * them. A demo that leaves a figure out leaves out what is said of its parts.
 */
export async function catalogueNotesPlace(tx: Tx, now: Date): Promise<void> {
  const ids = await partIds(tx)
  const ago = (days: number) => new Date(now.getTime() - days * DAY_MS)
  for (const { wanted, used, daysAgo, ...rest } of ALTERNATIVES) {
    const [wantedPartId, usedPartId] = [ids.get(refKey(wanted)), ids.get(refKey(used))]
    if (wantedPartId === undefined || usedPartId === undefined) continue
    await tx.alternative.create({ data: { ...rest, wantedPartId, usedPartId, approvedAt: ago(daysAgo) } })
  }
  for (const { part, daysAgo, note } of DISCONTINUED) {
    const id = ids.get(refKey(part))
    if (id === undefined) continue
    const discontinuedOn = ago(daysAgo).toISOString().slice(0, 10)
    await tx.part.update({ where: { id }, data: { discontinuedOn, discontinuedNote: note } })
  }
  for (const { part, daysAgo, ...rest } of NOTES) {
    const partId = ids.get(refKey(part))
    if (partId !== undefined) await tx.partNote.create({ data: { ...rest, partId, kind: 'note', at: ago(daysAgo) } })
  }
  await figureShared(tx)
}

async function figureShared(tx: Tx): Promise<void> {
  const { from, figureTitle, to, number } = SHARED_FIGURE
  const modelOf = ({ maker, name }: { maker: string; name: string }) =>
    tx.machineModel.findUniqueOrThrow({ where: { key: partNumberKey(`${maker}/${name}`) } })
  const [source, target] = [await modelOf(MODELS[from]), await modelOf(MODELS[to])]
  const figures = await tx.figureOfModel.findMany({ where: { modelId: source.id }, include: { figure: true } })
  const shared = figures.find((of) => figureTitle.test(of.figure.title))
  if (!shared) return
  await tx.figureOfModel.create({
    data: { modelId: target.id, figureId: shared.figureId, number, numberKey: partNumberKey(number) },
  })
}
