import { partNumberKey } from '../catalogue/part-number.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import {
  BATCH_NOT_KNOWN,
  type BatchOwn,
  type BatchRule,
  batchesKept,
  batchRule,
  dayCode,
  isExpired,
} from '../stock/batch.ts'
import type { BatchChangeInput, BatchClassInput, BatchPartInput, BatchSaid } from '../stock/batch-schema.ts'
import { BIN_KINDS, binKindOf } from '../stock/bin-kind.ts'
import { database, statement, type Tx } from './client.ts'
import { BATCH_ASKED, movementPlace, partHead } from './ledger.ts'
import { type WriteContext, write } from './transaction.ts'

/** The day on which something is booked, for use-by dates. */
export function dayOf(now: Date): string {
  return now.toISOString().slice(0, 10)
}

/** What is asked of each part when it comes in. */
export async function batchRules(reader: Tx, partIds: readonly number[]): Promise<Map<number, BatchRule>> {
  const parts = await reader.part.findMany({
    where: { id: { in: [...new Set(partIds)] } },
    select: { id: true, partClass: true, asksBatch: true, asksUseBy: true, shelfLifeMonths: true },
  })
  const classes = await reader.partClassRule.findMany({
    where: { partClass: { in: [...new Set(parts.map((part) => part.partClass))] } },
  })
  const ofClass = new Map(classes.map((one) => [one.partClass, one]))
  return new Map(parts.map((part) => [part.id, batchRule(part satisfies BatchOwn, ofClass.get(part.partClass))]))
}

/** How the form names what was said, so that a refusal stands at its field. */
interface SaidFields {
  batch: string
  useBy: string
  expiredKept: string
}
const SAID_FIELDS: SaidFields = { batch: 'batch', useBy: 'useBy', expiredKept: 'expiredKept' }

/**
 * The batch that something booked in belongs to, made where it is new; undefined where the part has none. `notKnown` says whether
 * a batch that nobody can read any more is taken: of a find it is, of a delivery it is not.
 * Refuses with 'stock/batch-needed', 'stock/use-by-needed', 'stock/batch-other-date', 'stock/expired-arrived'.
 */
export async function batchOf(
  tx: Tx,
  context: WriteContext,
  place: { partId: number; binId: number; notKnown: boolean },
  said: BatchSaid,
  fields: SaidFields = SAID_FIELDS,
): Promise<number | undefined> {
  const part = await partHead(tx, place.partId)
  const rule = (await batchRules(tx, [part.id])).get(part.id)!
  const isNotKnown = said.batch !== undefined && partNumberKey(said.batch) === partNumberKey(BATCH_NOT_KNOWN)
  const asked = isNotKnown ? undefined : said.batch
  if (isNotKnown && place.notKnown && said.useBy === undefined) return notKnownBatch(tx, part.id)
  if (asked === undefined && rule.asksBatch && !(isNotKnown && place.notKnown))
    throw new Refusal(
      'stock/batch-needed',
      { part: part.number },
      { fields: { [fields.batch]: 'it stands on the pack' } },
    )
  if (asked === undefined && said.useBy === undefined && !rule.asksUseBy) return undefined
  const codeKey = asked === undefined ? '' : partNumberKey(asked)
  if (asked !== undefined && codeKey === '')
    throw new Refusal('stock/batch-needed', { part: part.number }, { fields: { [fields.batch]: 'letters or digits' } })
  const known =
    asked === undefined ? null : await tx.batch.findUnique({ where: { partId_codeKey: { partId: part.id, codeKey } } })
  const expiresOn = said.useBy ?? known?.expiresOn ?? null
  if (rule.asksUseBy && expiresOn === null)
    throw new Refusal(
      'stock/use-by-needed',
      { part: part.number },
      { fields: { [fields.useBy]: 'it stands on the pack' } },
    )
  if (known?.expiresOn && expiresOn !== null && known.expiresOn !== expiresOn)
    throw new Refusal(
      'stock/batch-other-date',
      { batch: known.code, part: part.number, day: known.expiresOn, other: expiresOn },
      { fields: { [fields.useBy]: `${known.expiresOn} in the books` } },
    )
  await expiredCheck(tx, context, place.binId, expiresOn, said, fields)
  if (known) {
    // It came before without a date; now somebody read one.
    if (known.expiresOn !== expiresOn) await tx.batch.update({ where: { id: known.id }, data: { expiresOn } })
    return known.id
  }
  return batchMake(tx, part.id, asked ?? dayCode(expiresOn!), expiresOn)
}

async function expiredCheck(
  tx: Tx,
  context: WriteContext,
  binId: number,
  expiresOn: string | null,
  said: BatchSaid,
  fields: SaidFields,
): Promise<void> {
  if (said.expiredKept || !isExpired(expiresOn, dayOf(context.now))) return
  const bin = await tx.bin.findUnique({ where: { id: binId }, select: { kind: true } })
  if (bin && BIN_KINDS[binKindOf(bin.kind)].free)
    throw new Refusal(
      'stock/expired-arrived',
      { day: expiresOn! },
      { fields: { [fields.expiredKept]: 'or choose a quarantine bin' } },
    )
}

async function batchMake(tx: Tx, partId: number, code: string, expiresOn: string | null): Promise<number> {
  const codeKey = partNumberKey(code)
  const made = await tx.batch.upsert({
    where: { partId_codeKey: { partId, codeKey } },
    create: { partId, code, codeKey, expiresOn },
    update: {},
    select: { id: true },
  })
  return made.id
}

/** Where pieces stand whose batch nobody can say. */
export function notKnownBatch(tx: Tx, partId: number): Promise<number> {
  return batchMake(tx, partId, BATCH_NOT_KNOWN, null)
}

/**
 * Pieces of parts whose batches are kept from now on, and that belong to none, are put under "not known", where they lie: from then
 * on the batches of a bin add up to what lies in it. `partIds` null: of all parts. Answers the next free line of the write.
 */
export async function batchesSettle(
  tx: Tx,
  context: WriteContext,
  firstLine: number,
  partIds: readonly number[] | null,
): Promise<number> {
  const rows = await statement<{ partId: number; binId: number; loose: number }>(
    `SELECT * FROM (
       SELECT b."partId", b."binId", b."quantity" - COALESCE((SELECT SUM(l."quantity") FROM "Batch" x
         JOIN "BatchBalance" l ON l."batchId" = x."id" AND l."binId" = b."binId" WHERE x."partId" = b."partId"), 0) AS "loose"
       FROM "Part" p LEFT JOIN "PartClassRule" c ON c."partClass" = p."partClass" JOIN "Balance" b ON b."partId" = p."id"
       WHERE ${BATCH_ASKED} AND b."quantity" > 0 ${partIds === null ? '' : 'AND p."id" IN (SELECT value FROM json_each(?))'})
     WHERE "loose" > 0 ORDER BY "partId", "binId"`,
    partIds === null ? [] : [JSON.stringify(partIds)],
  )
  let line = firstLine
  for (const { partId, binId, loose } of rows) {
    const move = { partId, binId, reason: 'lay there before batches were kept' }
    const batchId = await notKnownBatch(tx, partId)
    await movementPlace(tx, context, line++, { ...move, kind: 'transfer-out', quantity: -loose })
    await movementPlace(tx, context, line++, { ...move, kind: 'transfer-in', quantity: loose, batchId })
  }
  return line
}

/** Says what is asked of a whole class. A class of which nothing is asked has no row. */
export function batchClassSet(context: WriteContext, input: BatchClassInput): Promise<{ partClass: string }> {
  return write(context, 'batch.class', input, async (tx) => {
    const { partClass, asksBatch, asksUseBy } = input
    const rule = { asksBatch, asksUseBy, shelfLifeMonths: asksUseBy ? (input.shelfLifeMonths ?? null) : null }
    if (batchesKept(rule))
      await tx.partClassRule.upsert({ where: { partClass }, create: { partClass, ...rule }, update: rule })
    else await tx.partClassRule.deleteMany({ where: { partClass } })
    await batchesSettle(tx, context, 0, null)
    return { partClass }
  })
}

/** Says for one part what its class does not. */
export function batchPartSet(context: WriteContext, input: BatchPartInput): Promise<null> {
  return write(context, 'batch.part', input, async (tx) => {
    await partHead(tx, input.partId)
    const { partId, asksBatch = null, asksUseBy = null, shelfLifeMonths = null } = input
    await tx.part.update({ where: { id: partId }, data: { asksBatch, asksUseBy, shelfLifeMonths } })
    await batchesSettle(tx, context, 0, [partId])
    return null
  })
}

/** Puts right what was read wrongly on the pack. The movements keep their batch: it is the batch that was misnamed. */
export function batchChange(context: WriteContext, input: BatchChangeInput): Promise<{ code: string }> {
  return write(context, 'batch.change', input, async (tx) => {
    const batch = await tx.batch.findUnique({ where: { id: input.batchId }, include: { part: true } })
    if (!batch || batch.codeKey === partNumberKey(BATCH_NOT_KNOWN))
      throw new Refusal('stock/unknown-batch', { part: batch?.part.number ?? 'this part' })
    const codeKey = partNumberKey(input.code)
    const other = await tx.batch.findUnique({ where: { partId_codeKey: { partId: batch.partId, codeKey } } })
    if (other && other.id !== batch.id)
      throw new Refusal(
        'stock/batch-taken',
        { part: batch.part.number, batch: other.code },
        { fields: { code: 'taken' } },
      )
    await tx.batch.update({
      where: { id: batch.id },
      data: { code: input.code, codeKey, expiresOn: input.useBy ?? null },
    })
    return { code: input.code }
  })
}

export async function batchClassRules() {
  return database().partClassRule.findMany({ orderBy: { partClass: 'asc' } })
}

/** So much of a part in words, for refusals. */
export function saysOf(unit: string): (quantity: number) => string {
  return (quantity) => quantityFormat(quantity, unit as StockUnit)
}
