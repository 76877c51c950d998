import { type SupersessionLink, supersessionResolve } from '../catalogue/supersession.ts'
import { type FittedLine, FleetHours } from '../demand/fleet-hours.ts'
import {
  demandHistory,
  type HistoryMovement,
  type Month,
  monthOf,
  monthsBetween,
  replacedBy,
} from '../demand/history.ts'
import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { type PartPast, partPast } from '../replenish/all-forecasts.ts'
import { monthsAdd, type PlainDate } from '../service/plain-date.ts'
import type { Reading } from '../service/running.ts'
import { BIN_KINDS, binKindOf } from '../stock/bin-kind.ts'
import { database, Prisma } from './client.ts'
import { lineRowBreaks } from './line-breaks.ts'
import { packedRead } from './packed.ts'

/** Parts and movements that are held at a time. */
const PARTS_MAX = 2_000
const MOVEMENTS_MAX = 20_000
/** Hours are reckoned at least so far back: what is ahead of a part without a past is told from a year. */
const MONTHS_LEAST = 12

type Whole = number | bigint

/** One line of a ledger as the database packs it: a tenth of the time that a row of its own takes. */
type Packed = [
  id: number,
  day: PlainDate,
  kind: HistoryMovement['kind'],
  quantity: number,
  binId: number,
  reversesId: number | null,
  jobId: number | null,
  jobKind: HistoryMovement['jobKind'],
  forWhat: string | null,
]

/** Whose ledger and lines are read: a stretch of part ids, or these. */
type Which = { from: number; to: number } | { ids: readonly number[] }

const wanted = (which: Which) =>
  'ids' in which
    ? Prisma.sql`IN (SELECT value FROM json_each(${JSON.stringify(which.ids)}))`
    : Prisma.sql`BETWEEN ${which.from} AND ${which.to}`

async function ledgersRead(which: Which, freeBins: ReadonlySet<number>): Promise<Map<number, HistoryMovement[]>> {
  const rows = await packedRead<[partId: number, lines: Packed[]]>(Prisma.sql`
    SELECT json_array(m."partId", json_group_array(json_array(m."id", substr(m."at", 1, 10), m."kind", m."quantity", m."binId", m."reversesId",
      m."jobId", (SELECT j."kind" FROM "Job" j WHERE j."id" = m."jobId"), CASE WHEN m."machineId" IS NOT NULL
      THEN 'machine ' || m."machineId" WHEN m."costCentre" IS NOT NULL THEN 'cost centre ' || m."costCentre"
      WHEN m."forPersonId" IS NOT NULL THEN 'person ' || m."forPersonId" END))) AS "packed"
    FROM "Movement" m
    WHERE m."partId" ${wanted(which)} GROUP BY m."partId"`)
  return new Map(
    rows.map(([partId, lines]) => [
      partId,
      lines
        .map(([id, day, kind, quantity, binId, reversesId, jobId, jobKind, forWhat]) => {
          return { id, day, kind, quantity, ratio: 1, reversesId, jobId, jobKind, forWhat, isFree: freeBins.has(binId) }
        })
        .sort((a, b) => a.id - b.id),
    ]),
  )
}

interface Figures {
  positions: ReadonlyMap<number, number>
  models: ReadonlyMap<number, readonly number[]>
  /** The month in which it came into the parts book. */
  since: ReadonlyMap<number, Month>
}

/** The lines of one part. */
interface Listed {
  lines: FittedLine[]
  perPlace: number | null
  since: Month | null
}
const NOT_LISTED: Listed = { lines: [], perPlace: null, since: null }

async function figuresRead(): Promise<Figures> {
  const [figures, models] = await Promise.all([
    database().$queryRaw<{ id: Whole; n: Whole; since: Month }[]>`
      SELECT "id", json_array_length("positions") AS "n", substr("createdAt", 1, 7) AS "since" FROM "Figure"`,
    database().$queryRaw<{ figureId: Whole; modelId: Whole }[]>`SELECT "figureId", "modelId" FROM "FigureOfModel"`,
  ])
  const ofFigure = new Map<number, number[]>()
  for (const { figureId, modelId } of models) {
    const known = ofFigure.get(Number(figureId))
    if (known) known.push(Number(modelId))
    else ofFigure.set(Number(figureId), [Number(modelId)])
  }
  return {
    positions: new Map(figures.map(({ id, n }) => [Number(id), Number(n)])),
    models: ofFigure,
    since: new Map(figures.map(({ id, since }) => [Number(id), since])),
  }
}

type PackedLine = [
  figureId: number,
  quantity: number,
  isSided: 0 | 1,
  serialFrom: string | null,
  serialTo: string | null,
  serialRanges: string | null,
]

async function listsRead(which: Which, figures: Figures): Promise<Map<number, Listed>> {
  const rows = await packedRead<[partId: number, lines: PackedLine[]]>(Prisma.sql`
    SELECT json_array("partId", json_group_array(json_array("figureId", "quantity", "side" IS NOT NULL, "serialFrom", "serialTo",
      "serialRanges"))) AS "packed"
    FROM "PartsListLine" WHERE "retiredAt" IS NULL AND "partId" ${wanted(which)} GROUP BY "partId"`)
  return new Map(rows.map(([partId, lines]) => [partId, listed(lines, figures)]))
}

function listed(packed: readonly PackedLine[], { positions, models, since }: Figures): Listed {
  const own: Listed = { lines: [], perPlace: null, since: null }
  for (const [figureId, quantity, isSided, serialFrom, serialTo, serialRanges] of packed) {
    const places = isSided === 1 ? 1 : Math.max(1, positions.get(figureId) ?? 0)
    own.lines.push({
      modelIds: models.get(figureId) ?? [],
      fitted: quantity * places,
      breaks: lineRowBreaks({ serialFrom, serialTo, serialRanges }),
    })
    if (quantity > 0) own.perPlace = Math.min(own.perPlace ?? quantity, quantity)
    const month = since.get(figureId)
    if (month !== undefined && (own.since === null || month < own.since)) own.since = month
  }
  return own
}

async function fleetRead(months: readonly Month[]): Promise<FleetHours> {
  const [machines, readings] = await Promise.all([
    database().machine.findMany({
      select: { id: true, modelId: true, serialNumber: true, year: true },
      orderBy: { id: 'asc' },
    }),
    // Of many machines the client would ask by naming each of them, more than a statement takes.
    database().hourReading.findMany({
      select: { machineId: true, at: true, hourTenths: true, reason: true },
      orderBy: [{ machineId: 'asc' }, { at: 'asc' }],
    }),
  ])
  const ofMachine = new Map<number, Reading[]>()
  for (const { machineId, ...reading } of readings) {
    const known = ofMachine.get(machineId)
    if (known) known.push(reading)
    else ofMachine.set(machineId, [reading])
  }
  const fleet = machines.map(({ id, ...machine }) => ({ ...machine, readings: ofMachine.get(id) ?? [] }))
  return new FleetHours(fleet, months)
}

/** All months that any part has a past in, and at least a year. */
async function monthsOfAll(through: Month): Promise<Month[]> {
  const [first] = await database().$queryRaw<{ day: string | null }[]>`
    SELECT substr(MIN("at"), 1, 10) AS "day" FROM "Movement"`
  const yearAgo = monthOf(monthsAdd(`${through}-01`, 1 - MONTHS_LEAST))
  const [begin = yearAgo] = first?.day ? [monthOf(first.day), yearAgo].sort() : []
  return monthsBetween(begin, through)
}

type Link = SupersessionLink & { id: number }

/** Links that hang together, by each part in them. */
async function linksRead(): Promise<Map<number, Link[]>> {
  const rows = await database().supersession.findMany({ orderBy: { id: 'asc' } })
  const groups = new Map<number, Link[]>()
  for (const row of rows) {
    const link = { ...row, interchange: row.interchange as SupersessionLink['interchange'] }
    const [a, b] = [groups.get(link.oldPartId) ?? [], groups.get(link.newPartId) ?? []]
    const all = a === b ? a : [...a, ...b]
    all.push(link)
    for (const { oldPartId, newPartId } of all) {
      groups.set(oldPartId, all)
      groups.set(newPartId, all)
    }
  }
  for (const links of groups.values()) links.sort((a, b) => a.id - b.id)
  return groups
}

type PartRow = [id: number, partClass: string, unit: StockUnit, discontinued: 0 | 1]

/** Parts in the order of their ids, a stretch at a time that is small enough to be held with its movements. */
async function* stretches(): AsyncGenerator<PartRow[]> {
  const movements = new Map(
    await packedRead<[partId: number, count: number]>(Prisma.sql`
      SELECT json_array("partId", COUNT(*)) AS "packed" FROM "Movement" GROUP BY "partId"`),
  )
  let after = 0
  for (;;) {
    const rows = await packedRead<PartRow>(Prisma.sql`
      SELECT json_array("id", "partClass", "unit", "discontinuedOn" IS NOT NULL) AS "packed" FROM "Part"
      WHERE "id" > ${after} ORDER BY "id" LIMIT ${PARTS_MAX}`)
    if (rows.length === 0) return
    rows.sort(([a], [b]) => a - b)
    let held = 0
    let from = 0
    for (const [at, [id]] of rows.entries()) {
      const own = movements.get(id) ?? 0
      if (at > from && held + own > MOVEMENTS_MAX) {
        yield rows.slice(from, at)
        from = at
        held = 0
      }
      held += own
    }
    yield rows.slice(from)
    after = rows.at(-1)![0]
  }
}

/**
 * The past of all parts that a level may be set for, up to the last whole month before `today`, read in a few walks over the
 * ledger and the parts lists. A part that was replaced or is no longer made gets no level: its need is that of the newer one.
 */
export async function pastsRead(
  today: PlainDate,
  onProgress: (done: number, total: number) => Promise<void> = async () => undefined,
): Promise<PartPast[]> {
  const through = monthOf(monthsAdd(`${today.slice(0, 7)}-01`, -1))
  const [months, figures, links, bins, total] = await Promise.all([
    monthsOfAll(through),
    figuresRead(),
    linksRead(),
    database().bin.findMany({ select: { id: true, kind: true } }),
    database().part.count(),
  ])
  const fleet = await fleetRead(months)
  const freeBins = new Set(bins.filter(({ kind }) => BIN_KINDS[binKindOf(kind)].free).map(({ id }) => id))
  const counts = new Map<Month, number>()
  const listedSince = (since: Month): number => {
    const known = counts.get(since) ?? months.filter((month) => month >= since).length
    counts.set(since, known)
    return known
  }
  const pasts: PartPast[] = []
  const add = (
    [partId, partClass, unit]: PartRow,
    movements: readonly HistoryMovement[],
    { lines, perPlace, since }: Listed,
  ) => {
    const part = { partId, partClass, scale: quantityScale(unit) }
    const monthsListed = since === null ? 0 : listedSince(since)
    const past = partPast(part, demandHistory(movements, through), { ...fleet.exposure(lines), perPlace, monthsListed })
    if (past) pasts.push(past)
  }
  let done = 0
  for await (const rows of stretches()) {
    const which = { from: rows[0]![0], to: rows.at(-1)![0] }
    const [ledgers, lists] = await Promise.all([ledgersRead(which, freeBins), listsRead(which, figures)])
    const newer: PartRow[] = []
    for (const row of rows) {
      const [id, , , discontinued] = row
      const own = links.get(id)
      if (discontinued === 1) continue
      if (own) {
        if (supersessionResolve(id, own).partId === id) newer.push(row)
      } else add(row, ledgers.get(id) ?? [], lists.get(id) ?? NOT_LISTED)
    }
    if (newer.length > 0) await addReplacing(newer)
    done += rows.length
    await onProgress(done, total)
  }
  return pasts

  /** Parts that took the place of others: what was used of those is their past too. */
  async function addReplacing(rows: readonly PartRow[]): Promise<void> {
    const groups = rows.map((row) => ({ row, members: replacedBy(row[0], links.get(row[0])!) }))
    const which = { ids: groups.flatMap(({ members }) => members.map(({ partId }) => partId)) }
    const [ledgers, lists] = await Promise.all([ledgersRead(which, freeBins), listsRead(which, figures)])
    for (const { row, members } of groups)
      add(
        row,
        members
          .flatMap(({ partId, ratio }) => (ledgers.get(partId) ?? []).map((line) => ({ ...line, ratio })))
          .sort((a, b) => a.id - b.id),
        {
          ...(lists.get(members[0]!.partId) ?? NOT_LISTED),
          lines: members.flatMap(({ partId, ratio }) =>
            (lists.get(partId) ?? NOT_LISTED).lines.map((line) => ({ ...line, fitted: line.fitted * ratio })),
          ),
        },
      )
  }
}
