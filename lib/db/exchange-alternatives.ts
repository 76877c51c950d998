import { nameKey } from '../catalogue/part-number.ts'
import { instantText, type Tx } from './client.ts'
import { partNamer } from './exchange-part-named.ts'
import { asked, isFirst, numbersIn, type Planner, put, type Reader, Refused } from './exchange-rows.ts'

type Pair = readonly [wantedId: number, usedId: number]
const pairKey = (wantedId: number, usedId: number) => `${wantedId} ${usedId}`

interface Standing {
  interchange: string
  reason: string
  approvedById: string
  approvedAt: Date
}

/** What is approved of some pairs of parts and was not withdrawn. */
async function standingKnown(reader: Reader, pairs: readonly Pair[]): Promise<Map<string, Standing>> {
  type Raw = Omit<Standing, 'approvedAt'> & { wantedId: number; usedId: number; approvedAt: Date | string }
  // The plus keeps the database from going by the part that is used, which may be used in place of thousands.
  const rows = await asked(
    pairs,
    (json) => (reader as Tx).$queryRaw<Raw[]>`
      SELECT a."wantedPartId" AS "wantedId", a."usedPartId" AS "usedId", a."interchange", a."reason", a."approvedById",
        a."approvedAt"
      FROM json_each(${json}) k
      JOIN "Alternative" a ON a."wantedPartId" = k.value->>0 AND +a."usedPartId" = k.value->>1
      WHERE a."withdrawnAt" IS NULL`,
  )
  return new Map(
    rows.map(({ wantedId, usedId, approvedAt, ...rest }) => [
      pairKey(wantedId, usedId),
      { ...rest, approvedAt: new Date(approvedAt) },
    ]),
  )
}

/**
 * Alternatives by the two parts. One that was approved is never changed: a row that differs from it is refused. Nobody approves
 * in the name of another: a new one is approved by the person who brings it in.
 */
export const alternativesPlan: Planner<'alternatives'> = async (reader, rows, context) => {
  const refused = new Refused()
  const named = await partNamer(reader, numbersIn(rows, 'number', 'alternative_number'))
  const people = new Map((await (reader as Tx).person.findMany()).map((person) => [person.nameKey, person.id]))
  const seen = new Map<string, number>()
  const read = rows.flatMap((row) => {
    const { values } = row
    const approvedById = people.get(nameKey(values.approved_by))
    if (approvedById === undefined) refused.at(row, 'approved_by', `nobody here is called ${values.approved_by}`)
    const wanted = named(row, values.number, values.maker, refused)
    const used = named(row, values.alternative_number, values.alternative_maker, refused, 'alternative_')
    if (!wanted || !used || approvedById === undefined) return []
    if (!isFirst(seen, pairKey(wanted.id, used.id), row, refused, 'alternative')) return []
    return [{ row, wanted, used, approvedById }]
  })
  const known = await standingKnown(
    reader,
    read.flatMap(({ wanted, used }): Pair[] => [
      [wanted.id, used.id],
      [used.id, wanted.id],
    ]),
  )
  const counts = { new: 0, changed: 0, same: 0 }
  const fresh: { pair: Pair; approved: Standing }[] = []
  /** Pairs of this file so far, and whether either fits in place of either. */
  const told = new Map<string, boolean>()
  for (const { row, wanted, used, approvedById } of read) {
    const { values } = row
    if (wanted.id === used.id) refused.at(row, 'alternative_number', 'a part is no alternative for itself')
    else if (wanted.unit !== used.unit)
      refused.at(
        row,
        'alternative_number',
        `is kept by ${used.unit}, the part wanted by ${wanted.unit}; it is one for one`,
      )
    const key = pairKey(wanted.id, used.id)
    const before = known.get(key)
    const isBoth = values.both_ways ?? before?.interchange === 'both-ways'
    const interchange = isBoth ? 'both-ways' : 'one-way'
    const back = pairKey(used.id, wanted.id)
    const backBoth = told.get(back) ?? false
    told.set(key, isBoth)
    if (before) {
      counts.same += 1
      const isSame =
        before.interchange === interchange &&
        before.reason === values.reason &&
        before.approvedById === approvedById &&
        before.approvedAt.toISOString().startsWith(values.approved_on)
      if (!isSame) refused.at(row, '', 'differs from what was approved; withdraw that on the card of the part first')
      continue
    }
    if (backBoth || known.get(back)?.interchange === 'both-ways' || (isBoth && (known.has(back) || told.has(back))))
      refused.at(row, 'alternative_number', 'the two are approved the other way round already')
    if (approvedById !== context.write.personId)
      refused.at(
        row,
        'approved_by',
        `${values.approved_by} must bring this row in; or look at the two parts and put your own name there`,
      )
    counts.new += 1
    const approvedAt = new Date(`${values.approved_on}T00:00:00.000Z`)
    fresh.push({
      pair: [wanted.id, used.id],
      approved: { interchange, reason: values.reason, approvedById, approvedAt },
    })
  }
  return {
    refusals: refused.list,
    counts,
    made: {},
    async write(tx) {
      await put(
        fresh,
        ({ pair, approved }) => [
          ...pair,
          approved.interchange,
          approved.reason,
          approved.approvedById,
          instantText(approved.approvedAt),
        ],
        (json) => tx.$executeRaw`
          INSERT INTO "Alternative" ("wantedPartId", "usedPartId", "interchange", "reason", "approvedById", "approvedAt")
          SELECT value->>0, value->>1, value->>2, value->>3, value->>4, value->>5 FROM json_each(${json})`,
      )
    },
  }
}
