import { lookAlikes } from '../catalogue/look-alike.ts'
import { supersessionResolve } from '../catalogue/supersession.ts'
import { matchAny, matchTyped, type Question, questionBeginnings, questionRead } from '../search/question.ts'
import { database, Prisma } from './client.ts'
import { SUPPLIER_NUMBER_KEY } from './number-key.ts'
import { supersessionLinks } from './part.ts'
import { type PartHit, type PartReason, partHits } from './part-hit.ts'
import { NO_FILTER, partFilterSql, type SearchFilter } from './search-filter.ts'
import { thesaurusNow } from './search-words.ts'
import { questionsMeant } from './vocabulary.ts'

export type { PartHit } from './part-hit.ts'

/** Hits by words that are put in order by their plainness; more are not looked at. */
const ORDERED_MAX = 60
/** Zeros that some stores and suppliers print before a number: 000123 for 123. */
const LEADING_ZEROS_MAX = 6

/** Order of descriptions that begin with what was typed (0), hold it (1) and hold its words apart (-1). */
const PLACES = new Map([
  [0, 0],
  [1, 1],
  [-1, 2],
])

interface Found {
  id: number
  /** How it was found, for the order and for the screen. */
  reason: PartReason | null
  /** By its own number, whole. */
  isExact?: boolean
}

/** Beyond every number and description that begins so. */
const after = (start: string) => `${start}\uffff`

function zerosApart(key: string): string[] {
  const bare = key.replace(/^0+(?=.)/, '')
  const all = Array.from({ length: LEADING_ZEROS_MAX + 1 }, (_, zeros) => '0'.repeat(zeros) + bare)
  return /\d/.test(key) ? all.filter((other) => other !== key) : []
}

interface NumberRow {
  tier: number
  id: number | bigint
  supplierNumber: string | null
  supplier: string | null
}

const EXACT_MAX = 40

/**
 * The number itself, then the number of a supplier, then the number with other zeros before it; a part that was replaced stands
 * after what replaces it. Then numbers that begin so.
 */
async function byNumber(question: Question, filter: SearchFilter, take: number): Promise<Found[]> {
  const { key } = question
  const passes = partFilterSql(filter)
  const own = Prisma.sql`p."id", NULL AS "supplierNumber", NULL AS supplier FROM "Part" p`
  const ofSupplier = Prisma.sql`p."id", o."supplierNumber", s."name" FROM "Offer" o CROSS JOIN "Part" p ON p."id" = o."partId" JOIN "Supplier" s ON s."id" = o."supplierId"`
  const rows = await database().$queryRaw<NumberRow[]>`
    SELECT * FROM (SELECT 0 AS tier, ${own} WHERE p."numberKey" = ${key} LIMIT ${EXACT_MAX})
    UNION ALL SELECT * FROM (SELECT 1, ${ofSupplier} WHERE ${SUPPLIER_NUMBER_KEY} = ${key} LIMIT ${EXACT_MAX})
    UNION ALL SELECT * FROM (SELECT 2, ${own} WHERE p."numberKey" IN (SELECT value FROM json_each(${JSON.stringify(zerosApart(key))})) LIMIT ${EXACT_MAX})
    UNION ALL SELECT * FROM (SELECT 3, ${own} WHERE p."numberKey" > ${key} AND p."numberKey" < ${after(key)} AND ${passes} ORDER BY p."numberKey" LIMIT ${take})
    UNION ALL SELECT * FROM (SELECT 4, ${ofSupplier} WHERE ${SUPPLIER_NUMBER_KEY} > ${key} AND ${SUPPLIER_NUMBER_KEY} < ${after(key)} AND ${passes} LIMIT ${take})`
  const found = rows.map(({ tier, id, supplierNumber, supplier }): Found & { isExact: boolean } => ({
    id: Number(id),
    reason: supplierNumber !== null && supplier !== null ? { is: 'supplier', number: supplierNumber, supplier } : null,
    isExact: Number(tier) < 3,
  }))
  const exact = found.filter((one) => one.isExact)
  return [...(await withReplacing(exact, filter)), ...found.filter((one) => !one.isExact)]
}

/** From so many signs on, a number is also looked for by a beginning that looks like what was typed. */
const ALIKE_BEGINNING_MIN = 4

/**
 * Where no number is or begins as typed: numbers that look so, O for 0 or S for 5. Whole ones first, then those of suppliers,
 * then beginnings; those with the fewest changed signs first.
 */
async function byLookAlike(question: Question, filter: SearchFilter, take: number): Promise<Found[]> {
  const spellings = lookAlikes(question.key)
  if (spellings.length === 0) return []
  const passes = partFilterSql(filter)
  const asked = Prisma.sql`json_each(${JSON.stringify(spellings)}) asked`
  const whole = await database().$queryRaw<NumberRow[]>`
    SELECT * FROM (SELECT 0 AS tier, p."id", NULL AS "supplierNumber", NULL AS supplier
      FROM ${asked} CROSS JOIN "Part" p ON p."numberKey" = asked.value ORDER BY asked.key LIMIT ${EXACT_MAX})
    UNION ALL SELECT * FROM (SELECT 1, p."id", o."supplierNumber", s."name"
      FROM "Offer" o CROSS JOIN "Part" p ON p."id" = o."partId" JOIN "Supplier" s ON s."id" = o."supplierId"
      WHERE ${SUPPLIER_NUMBER_KEY} IN (SELECT value FROM ${asked}) LIMIT ${EXACT_MAX})`
  const found = whole.map(({ id, supplierNumber, supplier }): Found & { isExact: boolean } => ({
    id: Number(id),
    reason:
      supplierNumber !== null && supplier !== null
        ? { is: 'supplier', number: supplierNumber, supplier }
        : { is: 'alike' },
    isExact: true,
  }))
  if (found.length > 0) return withReplacing(found, filter)
  if (question.key.length < ALIKE_BEGINNING_MIN) return []
  const begun = await database().$queryRaw<{ id: number | bigint }[]>`
    SELECT p."id" FROM ${asked} CROSS JOIN "Part" p ON p."numberKey" > asked.value AND p."numberKey" < asked.value || ${after('')}
    WHERE ${passes} ORDER BY asked.key, p."numberKey" LIMIT ${take}`
  return begun.map(({ id }) => ({ id: Number(id), reason: { is: 'alike' } }))
}

/** Puts before each part what is ordered in its place, and leaves out what the filter does not let pass. */
async function withReplacing(exact: readonly Found[], filter: SearchFilter): Promise<Found[]> {
  if (exact.length === 0) return []
  const links = await supersessionLinks(
    database(),
    exact.map(({ id }) => id),
  )
  const found = exact.flatMap((one): Found[] => {
    const { partId } = supersessionResolve(one.id, links)
    return partId === one.id ? [one] : [{ id: partId, reason: { is: 'replaces', partId: one.id } }, one]
  })
  const passing = filter.onShelf || filter.partClass ? await partsPassing(found, filter) : null
  const isOfModel = ({ id, reason }: Found) =>
    filter.parts === null ||
    filter.parts.has(id) ||
    // What replaces a part of the model fits where that one was.
    (reason?.is === 'replaces' && filter.parts.has(reason.partId))
  return found.filter((one) => (passing?.has(one.id) ?? true) && isOfModel(one))
}

/** Which of the parts lie on the shelf and are of the class, where these are asked for. */
async function partsPassing(found: readonly Found[], filter: SearchFilter): Promise<Set<number>> {
  const ids = JSON.stringify(found.map(({ id }) => id))
  const rows = await database().$queryRaw<{ id: number | bigint }[]>`
    SELECT p."id" FROM "Part" p WHERE p."id" IN (SELECT value FROM json_each(${ids})) AND ${partFilterSql({ ...filter, parts: null })}`
  return new Set(rows.map(({ id }) => Number(id)))
}

/** Descriptions that begin with what was typed, then with its other names, in the order of a printed index: plainest first. */
async function byDescriptionStart(question: Question, filter: SearchFilter, take: number): Promise<Found[]> {
  const [typed, ...others] = questionBeginnings(question)
  if (typed === undefined) return []
  const passes = partFilterSql(filter)
  const range = (start: string, end: string) => Prisma.sql`SELECT * FROM (SELECT p."id" FROM "Part" p
    WHERE lower(p."description") >= ${start} AND lower(p."description") < ${end} AND ${passes} ORDER BY lower(p."description"), p."id" LIMIT ${take})`
  // '0' is the first sign behind space, comma and dash: "tap" and "tap, drain", never "taper".
  const ranges = [
    range(typed, question.open ? after(typed) : `${typed}0`),
    ...others.map((other) => range(other, `${other}0`)),
  ]
  const rows = await database().$queryRaw<{ id: number }[]>`${Prisma.join(ranges, ' UNION ALL ')}`
  return rows.map(({ id }) => ({ id: Number(id), reason: null }))
}

async function byWords(match: string | null, question: Question, filter: SearchFilter, take: number): Promise<Found[]> {
  if (match === null) return []
  // The index answers in the order of entry. Ranking every hit of a common word would cost more than the search; the first
  // ones are enough for a screen and are put in order here: what was typed stands together, then the plainest description.
  const rows = await database().$queryRaw<{ id: number; description: string }[]>`
    SELECT p."id", p."description" FROM part_words f CROSS JOIN "Part" p ON p."id" = f.rowid
    WHERE f.part_words MATCH ${match} AND ${partFilterSql(filter, 'f.rowid')} LIMIT ${Math.max(take, ORDERED_MAX)}`
  const typed = question.terms.map((term) => term.typed).join(' ')
  return rows
    .map(({ id, description }) => ({
      id: Number(id),
      // Begins with what was typed, holds it together, or holds its words apart.
      place: Math.sign(description.toLowerCase().indexOf(typed)),
      length: description.length,
    }))
    .sort((a, b) => (PLACES.get(a.place) ?? 0) - (PLACES.get(b.place) ?? 0) || a.length - b.length || a.id - b.id)
    .map(({ id }) => ({ id, reason: null }))
}

/**
 * Whether any part that passes the filter answers to the words at all, under whatever name. None: neither does one by its words as
 * typed or by how its description begins, which ask for more. One statement instead of three where a class is asked for that has
 * no such part: of those found by their words each one must be refused before that is known.
 */
async function anyByWords(question: Question, filter: SearchFilter): Promise<boolean> {
  const match = matchAny(question, 'description')
  if (match === null || filter.partClass === null) return true
  const rows = await database().$queryRaw<unknown[]>`
    SELECT 1 FROM part_words f WHERE f.part_words MATCH ${match} AND ${partFilterSql(filter, 'f.rowid')} LIMIT 1`
  return rows.length > 0
}

/** A piece out of the middle of a number or a word, three signs at least; only one, because common pieces cost much to compare. */
async function byPiece(question: Question, filter: SearchFilter, take: number, isAlone: boolean): Promise<Found[]> {
  const piece = question.terms[0]?.typed ?? ''
  if (question.terms.length > 1 || piece.length < 3) return []
  // Words were looked for by their beginning: the middle of one is worth the time only where nothing else answers.
  if (!isAlone && !/\d/.test(piece)) return []
  const match = `"${piece.replace(/"/g, '""')}"`
  const rows = await database().$queryRaw<{ id: number }[]>`
    SELECT p."id" FROM part_fts f CROSS JOIN "Part" p ON p."id" = f.rowid
    WHERE f.part_fts MATCH ${match} AND ${partFilterSql(filter, 'f.rowid')} LIMIT ${take}`
  return rows.map(({ id }) => ({ id: Number(id), reason: null }))
}

/** The parts that answer a question, best first; each way of finding is asked only while there are not enough. */
export async function partsFind(question: Question, filter: SearchFilter, take: number): Promise<Found[]> {
  if (question.key === '' || filter.parts?.size === 0) return []
  const found = new Map<number, Found>()
  let isWord = true
  const ifWord = (way: () => Promise<Found[]>) => async () => (isWord ? way() : [])
  const ways = [
    () => byNumber(question, filter, take),
    async () => (found.size === 0 ? byLookAlike(question, filter, take) : []),
    async () => {
      isWord = await anyByWords(question, filter)
      return []
    },
    // Among the parts of one model the words alone bring few enough to put in order.
    ...(filter.parts ? [] : [ifWord(() => byDescriptionStart(question, filter, take))]),
    ifWord(() => byWords(matchTyped(question), question, filter, take)),
    ifWord(() => byWords(matchAny(question, 'description'), question, filter, take)),
    () => byPiece(question, filter, take, found.size === 0),
  ]
  for (const way of ways) {
    for (const one of await way()) if (!found.has(one.id)) found.set(one.id, one)
    // A whole number is what was meant: words of other parts are no answer to it.
    if (found.size >= take || (/\d/.test(question.key) && [...found.values()].some((one) => one.isExact))) break
  }
  return [...found.values()].slice(0, take)
}

/** Part ids that answer what a person typed, best first; words with a slip of the finger are put right when nothing else answers. */
export async function partSearchIds(typed: string, take: number): Promise<number[]> {
  return (await partsMeant(typed, NO_FILTER, take)).map(({ id }) => id)
}

async function partsMeant(typed: string, filter: SearchFilter, take: number): Promise<Found[]> {
  const thesaurus = await thesaurusNow()
  const question = questionRead(typed, thesaurus)
  const found = await partsFind(question, filter, take)
  if (found.length > 0) return found
  for (const meant of await questionsMeant(question, thesaurus, { doubting: true })) {
    const other = await partsFind(meant, filter, take)
    if (other.length > 0) return other
  }
  return []
}

export async function partSearch(typed: string, take = 20, filter: SearchFilter = NO_FILTER): Promise<PartHit[]> {
  return partHits(await partsMeant(typed, filter, take))
}
