import { z } from 'zod'
import { FigureTest, TEST_STAGES, TestMeasure } from '../job/measurement.ts'
import { type TestKept, type TestListInput, testsChangeSays, testsKept, testsOfRows } from '../job/test-list.ts'
import { isRefusal, Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { planRefresh } from './job.ts'
import { notePlace } from './job-hand-over.ts'
import { personNames } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

const TestKeptRead = z.strictObject({
  key: z.number().int().min(0),
  text: z.string(),
  measure: TestMeasure.optional(),
  eachSide: z.boolean(),
  stage: z.enum(TEST_STAGES),
}) satisfies z.ZodType<TestKept>

function listRead(json: string): TestKept[] {
  return testsKept(z.array(z.union([TestKeptRead, FigureTest])).parse(JSON.parse(json)))
}

export interface TestListRow {
  version: number
  tests: TestKept[]
  /** Null for the list that came with the figure. */
  who: string | null
  at: Date
}

type Reader = Tx | ReturnType<typeof database>

async function listsOf(reader: Reader, figureId: number) {
  return (reader as Tx).testList.findMany({ where: { figureId }, orderBy: { version: 'desc' } })
}

/** The lists of tests that were saved for a figure, newest first; none while nobody has saved one. */
export async function testListsRead(figureId: number): Promise<TestListRow[]> {
  const rows = await listsOf(database(), figureId)
  const names = await personNames(
    database() as unknown as Tx,
    rows.map((row) => row.personId),
  )
  return rows.map(({ version, content, personId, at }) => ({
    version,
    tests: listRead(content),
    who: personId === null ? null : names(personId),
    at,
  }))
}

/**
 * Saves the list of tests of a figure. Open jobs get the new list at once, because a machine is released by what counts on the
 * day it goes to work: a test that was ticked stays ticked, what was measured is held against the new limits, and a note on the
 * job says what changed. Closed jobs and the service book stay as they are.
 * Refuses with 'figure/no-such' and 'figure/tests-changed' (somebody else saved since the list was opened).
 */
export function testListSave(
  context: WriteContext,
  input: TestListInput,
): Promise<{ figureId: number; version: number; jobs: number }> {
  return write(context, 'figure.tests', input, async (tx) => {
    const { figureId } = input
    const figure = await tx.figure.findUnique({
      where: { id: figureId },
      select: { title: true, tests: true, createdAt: true, models: { select: { number: true }, take: 1 } },
    })
    if (!figure) throw new Refusal('figure/no-such')
    const lists = await listsOf(tx, figureId)
    const newest = lists[0]
    if ((newest?.version ?? 0) !== input.version) {
      const names = await personNames(tx, [newest?.personId ?? null])
      throw new Refusal('figure/tests-changed', { who: newest?.personId ? names(newest.personId) : 'Somebody' })
    }
    const before = listRead(figure.tests)
    const known = new Map(
      [...lists.map((list) => listRead(list.content)), before].flat().map((test) => [test.key, test.text]),
    )
    const after = testsOfRows(input.tests, known)
    const version = input.version + 1
    if (!newest)
      await tx.testList.create({
        data: { figureId, version: 0, content: JSON.stringify(before), personId: null, at: figure.createdAt },
      })
    const content = JSON.stringify(after)
    await tx.testList.create({ data: { figureId, version, content, personId: context.personId, at: context.now } })
    await tx.figure.update({ where: { id: figureId }, data: { tests: content } })
    const changed = testsChangeSays(before, after)
    const says = `Tests of figure ${figure.models[0]?.number ?? ''} ${figure.title} changed - ${changed}`
    return { figureId, version, jobs: await openJobsFollow(tx, context, figureId, changed === '' ? null : says) }
  })
}

/** Plans the open jobs on the figure anew; answers how many there are. */
async function openJobsFollow(tx: Tx, context: WriteContext, figureId: number, note: string | null): Promise<number> {
  const jobs = await tx.job.findMany({
    where: { state: 'open', targets: { some: { figureId } } },
    select: { id: true },
    orderBy: { id: 'asc' },
  })
  for (const { id } of jobs) {
    try {
      await planRefresh(tx, context, id)
    } catch (error) {
      // A job that cannot be planned at the moment (its target is not on the list of its machine any more) follows when it can:
      // the plan refuses before it writes anything.
      if (!isRefusal(error)) throw error
    }
    if (note !== null) await notePlace(tx, context, id, note.slice(0, 2000))
  }
  return jobs.length
}
