import { createHash } from 'node:crypto'
import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import type { Sink } from './sink.ts'
import { DAYS, instant, LINES_PER_FIGURE, type PartRow, type Sizes } from './sizes.ts'
import { NOUNS, SYMPTOMS, WHERE } from './words.ts'

const OPEN = 40
/** A service aims at so many figures of its machine, and renews so many of their lines. */
const FIGURES_PER_JOB = 4
const LINES_PER_JOB_FIGURE = 2

/**
 * A machine a model, its jobs, and for each closed one the entry in its service book. `listed` holds the part of each parts list
 * line by its id: what is fitted is what the list names.
 */
export async function jobsMake(
  sink: Sink,
  sizes: Sizes,
  { personId, parts, listed }: { personId: string; parts: readonly PartRow[]; listed: Int32Array },
): Promise<void> {
  const random = randomSeeded('bench jobs')
  const machines = Math.max(14, sizes.models)
  for (let id = 1; id <= machines; id++)
    await sink.add('Machine', {
      id,
      modelId: 1 + (id % sizes.models),
      fleetNumber: `M${id}`,
      fleetKey: `m${id}`,
      name: `Machine ${id}`,
      serialNumber: `A${id}`,
      state: 'working',
      hourTenths: 0,
    })
  const jobs = Math.max(60, Math.round(sizes.movements / 100))
  const figuresOfModel = Math.max(1, Math.floor(sizes.figures / sizes.models))
  for (let id = 1; id <= jobs; id++) {
    const open = id > jobs - OPEN
    const machineId = 1 + (id % machines)
    const day = (id / jobs) * DAYS
    await sink.add('Job', {
      id,
      number: id,
      machineId,
      state: open ? 'open' : 'closed',
      kind: 'repair',
      complaint: `${randomPick(random, WHERE)} ${randomPick(random, SYMPTOMS)}`,
      cause: open ? '' : `${randomPick(random, NOUNS)[0]} worn`,
      correction: open ? '' : 'renewed and run up',
      labourMinutes: 0,
      openedAt: instant(day),
      openedById: personId,
    })
    const fitted: { partNumber: string; description: string; item: string }[] = []
    const first = randomInteger(random, 0, figuresOfModel - 1)
    for (let turn = 0; turn < Math.min(FIGURES_PER_JOB, figuresOfModel); turn++) {
      const figureId = 1 + (machineId % sizes.models) + sizes.models * ((first + turn) % figuresOfModel)
      for (let line = 0; line < LINES_PER_JOB_FIGURE; line++) {
        const pair = randomInteger(random, 0, Math.floor(LINES_PER_FIGURE / LINES_PER_JOB_FIGURE) - 1)
        const at = 1 + pair * LINES_PER_JOB_FIGURE + line
        const lineId = (figureId - 1) * LINES_PER_FIGURE + at
        const part = parts[listed[lineId]! - 1]!
        const target = { jobId: id, item: String(at), positions: `["${line === 0 ? 'LH' : 'RH'}"]` }
        await sink.add('JobTarget', { ...target, figureId, lineId, quantity: 2 })
        await sink.add('JobNeed', {
          ...target,
          key: `${figureId}:target:${lineId}`,
          origin: 'target',
          kind: 'part',
          partId: part.id,
          description: part.description,
          strength: 'must',
          suggested: 2,
          wanted: 2,
          taken: open ? 0 : 2,
          allocated: 0,
          state: 'accepted',
          reasons: '[]',
          sort: turn * LINES_PER_JOB_FIGURE + line,
        })
        fitted.push({ partNumber: part.number, description: part.description, item: String(at) })
      }
    }
    if (open) continue
    // As much of an entry as the figure page reads.
    const content = JSON.stringify({ job: { number: id }, fitted })
    await sink.add('ServiceBookEntry', {
      machineId,
      jobId: id,
      writtenAt: instant(day + 1),
      personId,
      personName: 'Ada Quill',
      content,
      digest: createHash('sha256').update(content).digest('hex'),
    })
  }
}
