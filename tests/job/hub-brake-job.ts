import { database } from '../../lib/db/client.ts'
import { type FigureImported, figureImport } from '../../lib/db/figure-import.ts'
import { jobCheckSet, jobMeasure } from '../../lib/db/job-check.ts'
import { jobView, type NeedView } from '../../lib/db/job-read.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { pageDrawn } from '../../seed/figures/index.ts'
import { asWriter } from '../support/database.ts'

/**
 * The demo's hub and drum brake, brought into the database in hand. With a blank sheet in place of its drawing it goes much
 * faster: reading a drawing takes seconds, and the job looks at list, positions and strip order only.
 */
export function hubBrakeImported(personId: string, sheet: 'drawn' | 'blank sheet'): Promise<FigureImported> {
  const { file, svg } = pageDrawn('trailer-hub-brake')
  const { width, height } = file.picture
  const blank = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}"><path d="M1 2L3 4"/></svg>`
  return figureImport(asWriter(personId), {
    file,
    picture: {
      bytes: new TextEncoder().encode(sheet === 'drawn' ? svg : blank),
      name: file.picture.file,
      mediaType: 'image/svg+xml',
    },
  })
}

/** A trailer of the figure's model. */
export function aTrailer(modelId: number, fleetNumber: string, serialNumber: string | null): Promise<number> {
  return inTransaction(async (tx) => {
    const data = { modelId, fleetNumber, fleetKey: fleetNumber.toLowerCase(), name: 'Tipping trailer', serialNumber }
    return (await tx.machine.create({ data: { ...data, hourTenths: 4100 } })).id
  })
}

export async function partIdOf(number: string): Promise<number> {
  return (await database().part.findFirstOrThrow({ where: { number } })).id
}

export async function lineIdOf(figureId: number, number: string): Promise<number> {
  return (await database().partsListLine.findFirstOrThrow({ where: { figureId, part: { number } } })).id
}

/** Does every test before release: what is measured gets a value inside its limits, the others a tick. */
export async function testsDone(jobId: number, personId: string): Promise<void> {
  for (const { id: checkId, kind, measure } of (await jobView(jobId)).checks) {
    if (kind !== 'test') continue
    if (measure) await jobMeasure(asWriter(personId), { jobId, checkId, value: '6.5' })
    else await jobCheckSet(asWriter(personId), { jobId, checkId, state: 'done' })
  }
}

/** The job's line for a part number and side. */
export async function needOf(jobId: number, number: string, side: string): Promise<NeedView> {
  const { needs } = await jobView(jobId)
  const need = needs.find((one) => one.part?.number === number && one.positions.join() === side)
  if (!need) throw new Error(`the job has no ${number} for ${side}`)
  return need
}
