import { partNumberKey } from '../catalogue/part-number.ts'
import { partSearchText } from '../catalogue/part-search.ts'
import type { CheckedRow } from '../exchange/check.ts'
import { PartFacts } from '../figure/schema.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { batchesSettle } from './batch.ts'
import type { Tx } from './client.ts'
import {
  asked,
  currencyCheck,
  type ExchangeContext,
  type ExchangePlan,
  isFirst,
  type Planner,
  put,
  quantityOf,
  type Reader,
  Refused,
  slices,
} from './exchange-rows.ts'
import { levelsKeep } from './level-change.ts'
import type { WriteContext } from './transaction.ts'

interface KnownPart {
  id: number
  maker: string
  number: string
  key: string
  description: string
  partClass: string
  unit: StockUnit
  facts: string
  criticality: string
  costMinor: number | null
  reorderPoint: number | null
  orderUpTo: number | null
  levelReason: string | null
  discontinuedOn: string | null
  discontinuedNote: string | null
}

export const partKey = (maker: string, number: string) => `${partNumberKey(maker)}/${partNumberKey(number)}`

type Raw = Omit<KnownPart, 'key'> & { makerKey: string; numberKey: string }
const whole = (value: number | bigint | null) => (value === null ? null : Number(value))

function known({ makerKey, numberKey, ...part }: Raw): KnownPart {
  return {
    ...part,
    id: Number(part.id),
    key: `${makerKey}/${numberKey}`,
    costMinor: whole(part.costMinor),
    reorderPoint: whole(part.reorderPoint),
    orderUpTo: whole(part.orderUpTo),
  }
}

/** Every part that bears one of the numbers, whoever makes it, with its levels. */
async function partsKnown(reader: Reader, numbers: Iterable<string>): Promise<KnownPart[]> {
  const db = reader as Tx
  const keys = new Set<string>()
  for (const number of numbers) keys.add(partNumberKey(number))
  return asked(keys, async (json) =>
    (
      await db.$queryRaw<Raw[]>`
      SELECT p."id", p."maker", p."number", p."makerKey", p."numberKey", p."description", p."partClass", p."unit", p."facts",
        p."criticality", p."costMinor", l."reorderPoint", l."orderUpTo", l."reason" AS "levelReason",
        p."discontinuedOn", p."discontinuedNote"
      FROM json_each(${json}) k JOIN "Part" p ON p."numberKey" = k.value LEFT JOIN "StockLevel" l ON l."partId" = p."id"`
    ).map(known),
  )
}

export interface NewPart {
  maker: string
  number: string
  description: string
  partClass: string
  unit: string
  criticality: string
  costMinor: number | null
  facts: string
  discontinuedOn?: string | null
  discontinuedNote?: string | null
}

/** Makes parts that are not known yet. Their ids are found by number afterwards. */
export async function partsInsert(tx: Tx, parts: readonly NewPart[]): Promise<void> {
  const list = (part: NewPart) => [
    part.maker,
    part.number,
    partNumberKey(part.maker),
    partNumberKey(part.number),
    part.description,
    part.partClass,
    part.unit,
    part.criticality,
    part.costMinor,
    part.facts,
    partSearchText(part),
    part.discontinuedOn ?? null,
    part.discontinuedNote ?? null,
  ]
  await put(
    parts,
    list,
    (json) => tx.$executeRaw`
      INSERT INTO "Part" ("maker", "number", "makerKey", "numberKey", "description", "partClass", "unit", "criticality",
        "costMinor", "facts", "searchText", "discontinuedOn", "discontinuedNote")
      SELECT value->>0, value->>1, value->>2, value->>3, value->>4, value->>5, value->>6, value->>7, value->>8, value->>9,
        value->>10, value->>11, value->>12 FROM json_each(${json})`,
  )
}

type Values = CheckedRow<'parts'>['values']
const FACTS: readonly (readonly [column: keyof Values, fact: keyof PartFacts])[] = [
  ['split_pin_mm', 'splitPinMm'],
  ['length_mm', 'lengthMm'],
  ['bore_mm', 'boreMm'],
  ['outside_mm', 'outsideMm'],
  ['width_mm', 'widthMm'],
  ['thread', 'thread'],
  ['property_class', 'propertyClass'],
  ['grade', 'grade'],
]

/** Facts of a part by column, for taking them out again. */
export const PART_FACT_COLUMNS = FACTS

function factsWith(values: Values, before: string): string {
  const facts: Record<string, unknown> = PartFacts.parse(JSON.parse(before))
  let [changed, given] = [false, false]
  for (const [column, fact] of FACTS) {
    const value = values[column]
    if (value === undefined) continue
    given = true
    changed ||= facts[fact] !== value
    facts[fact] = value
  }
  return given && changed ? JSON.stringify(facts) : before
}

interface Level {
  key: string
  reorderPoint: number
  orderUpTo: number
  reason: string
}

/** The level a row asks for; null when it asks for none. */
function levelOf(
  row: CheckedRow<'parts'>,
  unit: StockUnit,
  context: ExchangeContext,
  refused: Refused,
  before: KnownPart | undefined,
): Level | null {
  const { values } = row
  const reorderPoint = quantityOf(row, 'reorder_point', values.reorder_point, unit, refused)
  const orderUpTo = quantityOf(row, 'order_up_to', values.order_up_to, unit, refused)
  if ((values.reorder_point === undefined) !== (values.order_up_to === undefined)) {
    const missing = values.reorder_point === undefined ? 'reorder_point' : 'order_up_to'
    refused.at(row, missing, 'is empty; a level has both reorder_point and order_up_to')
  }
  if (reorderPoint === undefined || orderUpTo === undefined) return null
  if (orderUpTo <= reorderPoint) refused.at(row, 'order_up_to', 'must lie above reorder_point')
  const isSame = before?.reorderPoint === reorderPoint && before.orderUpTo === orderUpTo
  const reason = values.level_reason ?? (isSame ? before.levelReason : null) ?? `From ${context.file}`
  return { key: partKey(values.maker, values.number), reorderPoint, orderUpTo, reason }
}

/** A part that is no longer made has the day it was said and who said what. */
function discontinuedCheck(row: CheckedRow<'parts'>, before: KnownPart | undefined, refused: Refused): void {
  const on = row.values.discontinued_on ?? before?.discontinuedOn ?? null
  const note = row.values.discontinued_note ?? before?.discontinuedNote ?? null
  if (on !== null && note === null)
    refused.at(row, 'discontinued_note', 'is empty; say who says that the part is no longer made')
  if (on === null && note !== null) refused.at(row, 'discontinued_on', 'is empty; say since when it is no longer made')
}

type PartRow = CheckedRow<'parts'>

/** Each row beside the part that is known by its maker and number. A slice at a time: all of a large workshop's parts at once are more than is needed of them. */
async function* rowsBesideParts(
  reader: Reader,
  rows: readonly PartRow[],
): AsyncGenerator<{ row: PartRow; part: KnownPart | undefined }> {
  for (const slice of slices(rows)) {
    const known = new Map<string, KnownPart>()
    const numbers = slice.map((row) => row.values.number)
    for (const part of await partsKnown(reader, numbers)) known.set(part.key, part)
    for (const row of slice) yield { row, part: known.get(partKey(row.values.maker, row.values.number)) }
  }
}

/** Parts by maker and number: new ones are made, known ones get what the row says. The unit of a known part stays. */
export const partsPlan: Planner<'parts'> = async (reader, rows, context): Promise<ExchangePlan> => {
  const refused = new Refused()
  const seen = new Map<string, number>()
  const fresh: NewPart[] = []
  const changes: unknown[][] = []
  const levels: Level[] = []
  const counts = { new: 0, changed: 0, same: 0 }
  for await (const { row, part } of rowsBesideParts(reader, rows)) {
    const { values } = row
    const key = partKey(values.maker, values.number)
    if (!isFirst(seen, key, row, refused, 'part')) continue
    currencyCheck(row, context, refused)
    const unit = part?.unit ?? values.unit ?? 'each'
    if (values.unit !== undefined && values.unit !== unit)
      refused.at(
        row,
        'unit',
        `is ${values.unit}, but the part is kept by ${unit}; a unit is never changed by an import`,
      )
    const level = levelOf(row, unit, context, refused, part)
    const isLevelNew =
      level !== null &&
      (part?.reorderPoint !== level.reorderPoint ||
        part.orderUpTo !== level.orderUpTo ||
        part.levelReason !== level.reason)
    if (isLevelNew) levels.push(level)
    discontinuedCheck(row, part, refused)
    if (!part) {
      if (values.description === undefined) refused.at(row, 'description', 'is empty; a part that is new must have one')
      counts.new += 1
      fresh.push({
        maker: values.maker,
        number: values.number,
        description: values.description ?? '',
        partClass: values.class ?? 'other',
        unit,
        criticality: values.criticality ?? 'essential',
        costMinor: values.cost ?? null,
        facts: factsWith(values, '{}'),
        discontinuedOn: values.discontinued_on ?? null,
        discontinuedNote: values.discontinued_note ?? null,
      })
      continue
    }
    const after = {
      description: values.description ?? part.description,
      partClass: values.class ?? part.partClass,
      criticality: values.criticality ?? part.criticality,
      costMinor: values.cost ?? part.costMinor,
      facts: factsWith(values, part.facts),
      discontinuedOn: values.discontinued_on ?? part.discontinuedOn,
      discontinuedNote: values.discontinued_note ?? part.discontinuedNote,
    }
    const isChanged = (Object.keys(after) as (keyof typeof after)[]).some((name) => after[name] !== part[name])
    if (isChanged || isLevelNew) counts.changed += 1
    else counts.same += 1
    if (!isChanged) continue
    const text = partSearchText({ maker: part.maker, number: part.number, description: after.description })
    changes.push([part.id, ...Object.values(after), text])
  }
  return {
    refusals: refused.list,
    counts,
    made: { levels: levels.length },
    async write(tx) {
      await partsInsert(tx, fresh)
      await partsUpdate(tx, changes)
      await levelsPut(tx, levels, context.write)
      // A part that got another class may have its batches kept from now on.
      await batchesSettle(tx, context.write, 0, null)
    },
  }
}

async function partsUpdate(tx: Tx, rows: readonly unknown[][]): Promise<void> {
  await put(
    rows,
    (row) => row,
    (json) => tx.$executeRaw`
      UPDATE "Part" SET "description" = j.value->>1, "partClass" = j.value->>2, "criticality" = j.value->>3,
        "costMinor" = j.value->>4, "facts" = j.value->>5, "discontinuedOn" = j.value->>6, "discontinuedNote" = j.value->>7,
        "searchText" = j.value->>8
      FROM json_each(${json}) j WHERE "Part"."id" = j.value->>0`,
  )
}

/** Levels of parts named by maker and number; those were written a moment ago, so every one of them is there. */
async function levelsPut(tx: Tx, levels: readonly Level[], context: WriteContext): Promise<void> {
  const byKey = new Map(levels.map(({ key, ...level }) => [key, level]))
  await put(
    byKey.keys(),
    (key) => key.split('/'),
    async (json) => {
      const rows = await tx.$queryRaw<{ key: string; id: number | bigint }[]>`
        SELECT (j.value->>0) || '/' || (j.value->>1) AS "key", p."id" FROM json_each(${json}) j
        JOIN "Part" p ON p."makerKey" = j.value->>0 AND p."numberKey" = j.value->>1`
      const kept = rows.map(({ key, id }) => ({ ...byKey.get(key)!, partId: Number(id) }))
      await levelsKeep(tx, context, kept, { kind: 'file' })
      return kept.length
    },
  )
}
