import { PART_CLASSES, type PartClass } from '../catalogue/part-class.ts'
import { partNumberKey } from '../catalogue/part-number.ts'
import { serialBreaksCover } from '../catalogue/serial-break.ts'
import { dayOf } from './batch.ts'
import { database, Prisma } from './client.ts'
import { usableBalance } from './free-bins.ts'
import { lineRowBreaks } from './line-breaks.ts'
import { SERIAL_NUMBER_KEY } from './number-key.ts'

/** What narrows a search, ready to be asked. */
export interface SearchFilter {
  /** Parts on the lines of a model that apply; with "unknown" where the serial number cannot tell. Null for all parts. */
  parts: ReadonlyMap<number, 'applies' | 'unknown'> | null
  /** Only what the shelf has to use on this day; null for all. */
  onShelf: string | null
  partClass: PartClass | null
  modelId: number | null
  machineId: number | null
}

export const NO_FILTER: SearchFilter = { parts: null, onShelf: null, partClass: null, modelId: null, machineId: null }

/** What narrows a search, as it stands in an address. */
export interface SearchWish {
  modelId?: number | null
  /** Fleet number or serial number of a machine; beside a model also a serial number that is on no machine of ours. */
  machine?: string
  onShelf?: boolean
  partClass?: string
}

export interface FilterRead {
  filter: SearchFilter
  /** The machine that was meant. */
  machine: { id: number; modelId: number; fleetNumber: string; name: string; serialNumber: string | null } | null
  /** What could not be used of the wish, in words for the screen. */
  faults: string[]
}

async function machineOf(text: string) {
  const key = partNumberKey(text)
  if (key === '') return null
  const rows = await database().$queryRaw<
    { id: number | bigint; fleetNumber: string; name: string; serialNumber: string | null; modelId: number | bigint }[]
  >`SELECT "id", "fleetNumber", "name", "serialNumber", "modelId" FROM "Machine" WHERE "fleetKey" = ${key}
    UNION ALL SELECT "id", "fleetNumber", "name", "serialNumber", "modelId" FROM "Machine" WHERE ${SERIAL_NUMBER_KEY} = ${key} LIMIT 1`
  const row = rows[0]
  return row ? { ...row, id: Number(row.id), modelId: Number(row.modelId) } : null
}

/** Parts on the figures of a model; with a serial number only those whose break holds it, or may hold it. */
async function partsOfModel(modelId: number, serial: string | null): Promise<Map<number, 'applies' | 'unknown'>> {
  // One row with all of them: reading five hundred rows one by one takes longer than the search itself.
  const rows = await database().$queryRaw<{ lines: string }[]>`
    SELECT json_group_array(json_array("partId", "serialFrom", "serialTo", "serialRanges")) AS lines FROM (
      SELECT DISTINCT l."partId", l."serialFrom", l."serialTo", l."serialRanges"
      FROM "FigureOfModel" o CROSS JOIN "PartsListLine" l ON l."figureId" = o."figureId" WHERE o."modelId" = ${modelId} AND l."retiredAt" IS NULL)`
  const lines = JSON.parse(rows[0]!.lines) as [
    partId: number,
    serialFrom: string | null,
    serialTo: string | null,
    serialRanges: string | null,
  ][]
  const parts = new Map<number, 'applies' | 'unknown'>()
  for (const [partId, serialFrom, serialTo, serialRanges] of lines) {
    const answer =
      serial === null ? 'applies' : serialBreaksCover(lineRowBreaks({ serialFrom, serialTo, serialRanges }), serial)
    if (answer === 'not' || parts.get(partId) === 'applies') continue
    parts.set(partId, answer)
  }
  return parts
}

/** Reads what an address wishes. What names nothing is told and left out, so that a search never ends in an error. */
export async function searchFilterRead(wish: SearchWish, today = dayOf(new Date())): Promise<FilterRead> {
  const faults: string[] = []
  const partClass = PART_CLASSES.find((one) => one === wish.partClass) ?? null
  if (wish.partClass && partClass === null) faults.push(`There is no class of parts "${wish.partClass}".`)
  const said = wish.machine?.trim() ?? ''
  const machine = said === '' ? null : await machineOf(said)
  const modelId = machine?.modelId ?? wish.modelId ?? null
  if (said !== '' && machine === null && modelId === null)
    faults.push(
      `No machine has the fleet number or serial number "${said}". Choose a model beside it, or look under Machines.`,
    )
  const serial = machine ? machine.serialNumber : said === '' ? null : said
  // A machine without a serial number shows all lines of its model, as its parts book does.
  const parts = modelId === null ? null : await partsOfModel(modelId, serial)
  return {
    filter: {
      parts,
      onShelf: wish.onShelf === true ? today : null,
      partClass,
      modelId,
      machineId: machine?.id ?? null,
    },
    machine,
    faults,
  }
}

/**
 * The condition on a part `p`, for a WHERE; `id` is where its number of row is known first, so that rows that do not pass are never
 * read. The plus keeps the database from asking an index of words part by part.
 */
export function partFilterSql(filter: SearchFilter, id = 'p."id"'): Prisma.Sql {
  const conditions = [Prisma.sql`1`]
  const row = Prisma.raw(id)
  if (filter.parts)
    conditions.push(Prisma.sql`+${row} IN (SELECT value FROM json_each(${JSON.stringify([...filter.parts.keys()])}))`)
  // Asked of the index of classes, and first: thousands of parts of other classes may answer to the words, and reading the row
  // of each to refuse it would take longer than all else.
  if (filter.partClass)
    conditions.push(
      Prisma.sql`EXISTS (SELECT 1 FROM "Part" c INDEXED BY "Part_partClass_idx" WHERE c."partClass" = ${filter.partClass} AND c."id" = ${row})`,
    )
  if (filter.onShelf)
    conditions.push(
      Prisma.sql`EXISTS (SELECT 1 FROM "Balance" b WHERE b."partId" = ${row} AND b."quantity" > 0 AND ${usableBalance(filter.onShelf)})`,
    )
  return Prisma.join(conditions, ' AND ')
}
