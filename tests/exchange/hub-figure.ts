import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { database } from '../../lib/db/client.ts'
import type { FigureToImport } from '../../lib/db/figure-import.ts'
import type { FigureFileInput } from '../../lib/figure/schema.ts'
import { isRefusal, type Refusal } from '../../lib/refusal.ts'

/** Names of the picture files kept in a data folder. */
export function picturesIn(folder: string): string[] {
  try {
    return readdirSync(join(folder, 'pictures')).sort()
  } catch {
    return []
  }
}

const TABLES = [
  'machineModel',
  'part',
  'picture',
  'figure',
  'figureOfModel',
  'callout',
  'partsListLine',
  'stripEdge',
  'write',
  'person',
] as const
/** How many rows and picture files there are: the same before and after means that nothing was left. */
export async function rowsOf(folder: string): Promise<Record<string, number>> {
  const db = database()
  const counts: Record<string, number> = { pictures: picturesIn(folder).length }
  for (const table of TABLES) counts[table] = await (db[table] as { count(): Promise<number> }).count()
  return counts
}

let made = 0
/** How many hubs were made; part numbers of the last one end in it. */
export const hubsMade = () => made

/** A figure nobody has yet: number and drawing differ from call to call. */
export function hub(change: Partial<FigureFileInput> = {}): FigureToImport & { file: FigureFileInput } {
  made += 1
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1200 800"><path d="M${made} 2L30 40"/></svg>`
  return {
    name: 'hub.json',
    picture: { name: 'hub.svg', mediaType: 'image/svg+xml', bytes: new Uint8Array(Buffer.from(svg)) },
    file: {
      format: 'cotterbook-figure',
      version: 1,
      title: 'Hub and drum brake',
      number: `4-${made}`,
      model: { maker: 'Thornley & Pike', name: 'TB6', kind: 'tipping trailer' },
      picture: { file: 'hub.svg', width: 1200, height: 800 },
      positions: [{ code: 'LH', label: 'left wheel' }],
      callouts: [
        {
          item: '1',
          x: 100.5,
          y: 120,
          tips: [
            { x: 210, y: 230 },
            { x: 211, y: 233 },
          ],
        },
        { item: '2', x: 310, y: 140, tips: [{ x: 330, y: 250 }] },
      ],
      lines: [
        {
          item: '1',
          partNumber: `TP-1${made}`,
          description: 'Split pin',
          quantity: 2,
          attaches: '2',
          partClass: 'split-pin',
        },
        { item: '2', partNumber: `TP-2${made}`, description: 'Castle nut', quantity: 1, facts: { torqueNm: 110 } },
        {
          item: '3',
          description: 'Wheel grease',
          quantity: 0.045,
          quantityNote: 'AR',
          unit: 'kilogram',
          serialFrom: '1500',
        },
      ],
      stripOrder: [
        { first: '1', then: '2' },
        { first: '1', then: '2' },
      ],
      tests: ['Wheel turns freely'],
      credit: 'Drawn for the estate',
      ...change,
    },
  }
}

export async function refusalOf(run: Promise<unknown>): Promise<Refusal> {
  const error = await run.then(
    () => null,
    (thrown: unknown) => thrown,
  )
  if (!isRefusal(error)) throw error ?? new Error('nothing was refused')
  return error
}
