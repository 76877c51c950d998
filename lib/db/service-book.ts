import { partNumberKey } from '../catalogue/part-number.ts'
import { type BookYear, bookYears } from '../job/book-year.ts'
import { EntryContent } from '../job/service-book.ts'
import { Refusal } from '../refusal.ts'
import { matchAny, matchSymptoms, questionRead } from '../search/question.ts'
import { database, Prisma } from './client.ts'
import { thesaurusNow } from './search-words.ts'

export interface EntryView {
  id: number
  machineId: number
  jobId: number | null
  writtenAt: Date
  person: string
  hourTenths: number | null
  content: EntryContent
  correctsId: number | null
  correctedBy: number[]
}

const WITH_CORRECTIONS = { corrections: { select: { id: true } } } as const
const NEWEST_FIRST: Prisma.ServiceBookEntryOrderByWithRelationInput[] = [{ writtenAt: 'desc' }, { id: 'desc' }]

function entryView(entry: Prisma.ServiceBookEntryGetPayload<{ include: typeof WITH_CORRECTIONS }>): EntryView {
  return {
    id: entry.id,
    machineId: entry.machineId,
    jobId: entry.jobId,
    writtenAt: entry.writtenAt,
    person: entry.personName,
    hourTenths: entry.hourTenths,
    content: EntryContent.parse(JSON.parse(entry.content)),
    correctsId: entry.correctsId,
    correctedBy: entry.corrections.map((one) => one.id),
  }
}

/** The machine's service book, newest first. */
export async function serviceBook(machineId: number, take = 200): Promise<EntryView[]> {
  const entries = await database().serviceBookEntry.findMany({
    where: { machineId },
    orderBy: NEWEST_FIRST,
    take,
    include: WITH_CORRECTIONS,
  })
  return entries.map(entryView)
}

export async function entryRead(machineId: number, entryId: number): Promise<EntryView & { corrections: EntryView[] }> {
  const [entry, corrections] = await Promise.all([
    database().serviceBookEntry.findFirst({ where: { id: entryId, machineId }, include: WITH_CORRECTIONS }),
    database().serviceBookEntry.findMany({
      where: { correctsId: entryId, machineId },
      orderBy: NEWEST_FIRST,
      include: WITH_CORRECTIONS,
    }),
  ])
  if (!entry) throw new Refusal('service-book/no-such')
  return { ...entryView(entry), corrections: corrections.map(entryView) }
}

/** What is looked for in the service books of the fleet; what is null or empty narrows nothing. */
export interface BookQuestion {
  /** Number or words of a part that was fitted, or words of complaint, cause and correction. */
  said: string
  machineId: number | null
  /** Calendar dates (ISO 8601, UTC), both included. */
  from: string | null
  to: string | null
}

/** A number of fewer signs begins too many others. */
const NUMBER_SIGNS_MIN = 4
const PARTS_MAX = 500
export const BOOK_PAGE = 30

/** Entries that answer, newest first, `take` from `skip` on. A job is found by what was told, and by what was fitted. */
export async function entriesFind(question: BookQuestion, skip = 0, take = BOOK_PAGE): Promise<EntryView[]> {
  const day = 24 * 3600 * 1000
  const entries = await database().serviceBookEntry.findMany({
    where: {
      ...(question.machineId === null ? {} : { machineId: question.machineId }),
      writtenAt: {
        ...(question.from === null ? {} : { gte: new Date(question.from) }),
        ...(question.to === null ? {} : { lt: new Date(new Date(question.to).getTime() + day) }),
      },
      ...(question.said.trim() === '' ? {} : { id: { in: await entryIds(question.said, question.machineId) } }),
    },
    orderBy: NEWEST_FIRST,
    skip,
    take,
    include: WITH_CORRECTIONS,
  })
  return entries.map(entryView)
}

/** A statement takes a limited number of values. */
const SLICE = 500

export async function entriesByIds(ids: readonly number[]): Promise<EntryView[]> {
  const entries: EntryView[] = []
  for (let at = 0; at < ids.length; at += SLICE) {
    const where = { id: { in: ids.slice(at, at + SLICE) } }
    const rows = await database().serviceBookEntry.findMany({ where, include: WITH_CORRECTIONS })
    entries.push(...rows.map(entryView))
  }
  return entries
}

/** More than anybody reads through; the dates narrow what is left out. */
const ENTRIES_MAX = 5000

async function entryIds(said: string, machineId: number | null): Promise<number[]> {
  const question = questionRead(said, await thesaurusNow())
  const key = partNumberKey(said)
  const told = matchSymptoms(question).join(' AND ')
  const named = matchAny(question)
  const none = Prisma.sql`SELECT NULL WHERE 0`
  const parts =
    key.length >= NUMBER_SIGNS_MIN && /\d/.test(key)
      ? Prisma.sql`SELECT "id" FROM "Part" WHERE "numberKey" >= ${key} AND "numberKey" < ${`${key}\uffff`}`
      : none
  const byWords = named
    ? Prisma.sql`SELECT rowid FROM part_words WHERE part_words MATCH ${named} LIMIT ${PARTS_MAX}`
    : none
  const byTold = told === '' ? none : Prisma.sql`SELECT rowid FROM job_words WHERE job_words MATCH ${told}`
  const rows = await database().$queryRaw<{ id: number | bigint }[]>`
    SELECT e."id" FROM "ServiceBookEntry" e
    WHERE (e."jobId" IN (SELECT * FROM (${byTold}))
        OR e."jobId" IN (SELECT n."jobId" FROM "JobNeed" n WHERE n."taken" > 0
             AND (n."partId" IN (SELECT * FROM (${parts})) OR n."partId" IN (SELECT * FROM (${byWords})))))
      AND ${machineId === null ? Prisma.sql`1` : Prisma.sql`e."machineId" = ${machineId}`}
    ORDER BY e."writtenAt" DESC LIMIT ${ENTRIES_MAX}`
  return rows.map(({ id }) => Number(id))
}

/** A machine's service book by year, with the hours it ran. */
export async function serviceBookYears(machineId: number): Promise<BookYear[]> {
  const [entries, readings] = await Promise.all([
    database().serviceBookEntry.findMany({ where: { machineId }, select: { writtenAt: true, content: true } }),
    database().hourReading.findMany({ where: { machineId }, select: { at: true, hourTenths: true } }),
  ])
  return bookYears(
    entries.map(({ writtenAt, content }) => {
      const { job, partsCostMinor, labourMinutes } = EntryContent.parse(JSON.parse(content))
      return { writtenAt, kind: job?.kind ?? null, partsCostMinor, labourMinutes }
    }),
    readings,
  )
}
