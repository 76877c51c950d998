import type { RowOut } from '../exchange/write.ts'
import { dateSays } from '../measure/date.ts'
import { quantityFormat } from '../measure/quantity.ts'
import { batchSays } from '../stock/batch.ts'
import { sheetLineRead, sheetLineWrite } from '../stock/sheet-line.ts'
import { binBatches } from './batch-read.ts'
import { database, type Tx } from './client.ts'
import { countFacts, countKey, ledgerNow } from './count-facts.ts'
import { type CountGiven, type CountHeldUp, type CountJudged, countsJudge, countsKeep } from './count-keep.ts'
import type { ExchangePlan, Planner, Reader } from './exchange-rows.ts'
import { asked, isFirst, quantityOf, Refused } from './exchange-rows.ts'

/**
 * The count sheet of a store, or of all of them, in walking order and blind. Each line carries the movement number at which it
 * was written, so that what moves until it comes back is asked about.
 */
export async function* countSheetRows(storeId: number | null = null): AsyncGenerator<RowOut> {
  const db = database()
  const asOf = await ledgerNow(db)
  const bins = await db.bin.findMany({
    where: { closedAt: null, NOT: { kind: 'on-the-way' }, ...(storeId === null ? {} : { storeId }) },
    include: { store: true },
    orderBy: [{ storeId: 'asc' }, { walkOrder: 'asc' }, { id: 'asc' }],
  })
  for (const bin of bins) {
    const balances = await db.balance.findMany({
      where: { binId: bin.id },
      include: { part: { select: { number: true, description: true, unit: true } } },
      orderBy: [{ part: { numberKey: 'asc' } }, { partId: 'asc' }],
    })
    const batches = await binBatches(bin.id)
    const counted = await db.countLine.groupBy({ by: ['partId'], where: { binId: bin.id }, _max: { id: true } })
    const lastCount = new Map(counted.map((one) => [one.partId, one._max.id ?? 0]))
    for (const { partId, part } of balances)
      yield {
        line: sheetLineWrite({ binId: bin.id, partId, asOf, lastCount: lastCount.get(partId) ?? 0 }),
        store: bin.store.name,
        bin: bin.code,
        number: part.number,
        description: part.description,
        // Sheets are blind: which batches to look for, not how many of each.
        batches: (batches.get(partId) ?? []).map(batchSays).join('; '),
        unit: part.unit,
      }
  }
}

interface KeptRow {
  sheetLine: string
  counted: number | bigint
  at: string | Date
  person: string | null
}

/** Lines that came in before. */
async function linesKept(reader: Reader, ids: readonly string[]): Promise<Map<string, KeptRow>> {
  const rows = await asked(
    ids,
    (json) => (reader as Tx).$queryRaw<KeptRow[]>`
      SELECT c."sheetLine", c."counted", c."at", w."name" AS "person" FROM json_each(${json}) k
      JOIN "CountLine" c ON c."sheetLine" = k.value LEFT JOIN "Person" w ON w."id" = c."personId"`,
  )
  return new Map(rows.map((row) => [row.sheetLine, row]))
}

const MADE: Record<CountJudged['state'], string | null> = {
  right: null,
  booked: 'counts put right',
  recount: 'lines to count again',
  reason: 'lines to say why',
  waiting: 'differences waiting for approval',
}

function heldUpSays(held: CountHeldUp, unit: Parameters<typeof quantityFormat>[1]): [column: string, reason: string] {
  if (held.why === 'unknown') return ['line', 'names a part or bin that is no longer there']
  if (held.why === 'other-person') return ['', 'is a second count; somebody else must bring it in']
  const moved = held.moved.map(
    ({ at, kind, quantity, person }) =>
      `${dateSays(at)} ${kind} ${quantityFormat(Math.abs(quantity), unit)}, ${person}`,
  )
  if (held.why === 'below') return ['counted', `is less than was taken since (${moved.join('; ')}); count it again`]
  return ['moved', `must be before or after: since the sheet was made ${moved.join('; ')}`]
}

/**
 * Counts that come back on a sheet: each is kept and judged as one that was typed in. A line left empty is left alone, one that
 * came in before with the same count is as it was.
 */
export const countsPlan: Planner<'counts'> = async (reader, rows, context): Promise<ExchangePlan> => {
  const refused = new Refused()
  const ledgerId = await ledgerNow(reader)
  const seen = new Map<string, number>()
  const counts = { new: 0, changed: 0, same: 0 }
  const read = rows.flatMap((row) => {
    const id = sheetLineRead(row.values.line)
    if (!id || id.asOf > ledgerId) {
      refused.at(row, 'line', `"${row.values.line}" is no line of a sheet of this workshop; copy it as it stands there`)
      return []
    }
    return isFirst(seen, countKey(id), row, refused, 'part in the same bin') ? [{ row, id }] : []
  })
  const facts = await countFacts(
    reader,
    read.map(({ id }) => id),
  )
  const kept = await linesKept(
    reader,
    read.map(({ id }) => sheetLineWrite(id)),
  )
  const given: CountGiven[] = []
  const rowOf = new Map<CountGiven, (typeof rows)[number]>()
  for (const { row, id } of read) {
    const { values } = row
    const unit = facts.of.get(countKey(id))?.unit
    if (!unit) {
      refused.at(row, ...heldUpSays({ why: 'unknown' }, 'each'))
      continue
    }
    if (values.unit !== undefined && values.unit !== unit)
      refused.at(row, 'unit', `is ${values.unit}, but the part is kept by ${unit}`)
    if (values.counted === undefined) {
      counts.same += 1
      continue
    }
    const counted = quantityOf(row, 'counted', values.counted, unit, refused)
    if (counted === undefined) continue
    const before = kept.get(sheetLineWrite(id))
    if (before) {
      if (Number(before.counted) === counted) counts.same += 1
      else {
        const came = `${quantityFormat(Number(before.counted), unit)} by ${before.person ?? 'somebody'} on ${dateSays(before.at)}`
        refused.at(row, 'counted', `came in before as ${came}; take a new sheet to count it again`)
      }
      continue
    }
    const one: CountGiven = {
      partId: id.partId,
      binId: id.binId,
      asOf: id.asOf,
      counted,
      cutId: values.moved === undefined ? null : values.moved === 'after' ? ledgerId : id.asOf,
      reasonCode: values.reason ?? (values.words === undefined ? null : 'other'),
      words: values.words ?? '',
      sheetLine: sheetLineWrite(id),
    }
    given.push(one)
    rowOf.set(one, row)
  }
  const { outcomes, found } = await countsJudge(reader, context.write.personId, given)
  const made: Record<string, number> = {}
  const judged: CountJudged[] = []
  for (const [at, outcome] of outcomes.entries()) {
    const one = given[at]!
    if ('why' in outcome) {
      refused.at(rowOf.get(one)!, ...heldUpSays(outcome, found.of.get(countKey(one))?.unit ?? 'each'))
      continue
    }
    judged.push(outcome)
    const what = MADE[outcome.state]
    // A count that agrees changes no books, and is kept: a second row of its kind.
    counts[outcome.state === 'right' ? 'new' : 'changed'] += 1
    if (what !== null) made[what] = (made[what] ?? 0) + 1
  }
  return {
    refusals: refused.list,
    counts,
    made,
    write: (tx) => countsKeep(tx, context.write, judged, found.ledgerId),
  }
}
