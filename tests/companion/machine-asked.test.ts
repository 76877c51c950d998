import { beforeAll, describe, expect, test } from 'vitest'
import { RULE_FORM_EMPTY, type RuleForm } from '../../lib/companion/rule-form.ts'
import { ruleAdd } from '../../lib/db/companion-rule.ts'
import { jobOpen, jobTarget } from '../../lib/db/job.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { machineHours } from '../../lib/db/machine.ts'
import { figureToTry, ruleBenchSlice, ruleTryOnFigure } from '../../lib/db/rule-try.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aTrailer, hubBrakeImported, lineIdOf } from '../job/hub-brake-job.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

const AGED = 'Springs of this age have lost their pull: measure them against a new one.'
const WINTER = 'Warm the shop before the shoes are bonded, or it does not hold.'
const ELSEWHERE = 'This model has its adjuster behind a cover: take that off first.'

let nell = ''
let figureId = 0
let modelId = 0
let trailer = 0
let shoes = 0
let springs: { item: string; id: number }[] = []
const on = (date: string) => ({ now: new Date(`${date}T09:00:00Z`) })
const form = (more: Partial<RuleForm>): RuleForm => ({ ...RULE_FORM_EMPTY, ...more })

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
  trailer = await aTrailer(modelId, 'W-07', '2249')
  shoes = await lineIdOf(figureId, 'DM60130')
  springs = await inTransaction((tx) =>
    tx.partsListLine.findMany({ where: { figureId, part: { partClass: 'return-spring' } } }),
  )
  const aged = { what: 'disturbed', classes: ['return-spring'], ageHours: '500', ageYears: '4', then: 'act' }
  await ruleAdd(asWriter(nell), { ...form({ ...aged, words: AGED }), reason: '' })
  const winter = { what: 'target', classes: ['brake-shoe'], seasonFrom: '11', seasonTo: '2' }
  await ruleAdd(asWriter(nell), { ...form({ ...winter, words: WINTER }), reason: '' })
  const other = { what: 'target', classes: ['brake-shoe'], models: 'Harrowgill 90' }
  await ruleAdd(asWriter(nell), { ...form({ ...other, words: ELSEWHERE }), reason: '' })
})

const jobsOpened: number[] = []
/** What a job on the left shoes is asked for, of the three rules. */
async function askedOn(date: string): Promise<string[]> {
  const { jobId } = await jobOpen(asWriter(nell, on(date)), {
    machineId: trailer,
    complaint: 'left brake binds',
    kind: 'repair',
    hours: null,
    unsafe: false,
    positions: [],
  })
  jobsOpened.push(jobId)
  await jobTarget(asWriter(nell, on(date)), { jobId, figureId, lineId: shoes, positions: ['LH'], quantity: 2 })
  const { needs } = await jobView(jobId)
  return [AGED, WINTER, ELSEWHERE].filter((words) => needs.some((need) => need.description === words))
}

describe('rules that ask for the machine, on its jobs:', () => {
  test('by the calendar of the day the job was opened, for this model, and not of an age that nobody knows', async () => {
    expect(await askedOn('2024-06-10')).toEqual([])
    expect(await askedOn('2024-11-10')).toEqual([WINTER])
  })

  test('hours read off the meter make the springs old, new ones make them young again', async () => {
    await machineHours(asWriter(nell, on('2025-06-01')), { machineId: trailer, hourTenths: 6_000 })
    expect(await askedOn('2025-06-02')).toEqual([AGED])
    // That job renewed them on both sides, for the other side is asked about too; closed a day later.
    await inTransaction(async (tx) => {
      const jobId = jobsOpened.at(-1)!
      await tx.job.update({
        where: { id: jobId },
        data: { state: 'closed', closedAt: on('2025-06-03').now, hourTenths: 6_000 },
      })
      for (const { id, item } of springs) {
        const need = { key: `${figureId}:target:${id}`, origin: 'target', kind: 'part', description: 'Return spring' }
        const asked = {
          positions: '["LH","RH"]',
          strength: 'must',
          suggested: 1,
          wanted: 1,
          taken: 1,
          state: 'accepted',
        }
        await tx.jobNeed.create({ data: { jobId, item, ...need, ...asked } })
      }
    })
    await machineHours(asWriter(nell, on('2025-06-20')), { machineId: trailer, hourTenths: 7_000 })
    expect(await askedOn('2025-06-21')).toEqual([])
    await machineHours(asWriter(nell, on('2026-03-20')), { machineId: trailer, hourTenths: 11_000 })
    expect(await askedOn('2026-03-21')).toEqual([AGED])
  })

  test('past jobs are planned again as the machine was then: the closed one still asks for the old springs', async () => {
    const dates = { from: '2024-01-01', to: '2026-12-31' }
    const { present, jobs } = await ruleBenchSlice({ draft: null, ...dates, before: null, done: 0 })
    expect(jobs).toBe(1)
    expect(Object.keys(present).filter((id) => id.startsWith('own-'))).toHaveLength(1)
  })

  test('a draft is tried on a machine of the model and in a month', async () => {
    const { machines } = await figureToTry(figureId, modelId)
    expect(machines).toEqual([{ id: trailer, says: expect.stringContaining('W-07') }])
    const draft = {
      kind: 'form' as const,
      form: form({
        words: 'Ice in the drum: thaw it, no flame.',
        classes: ['brake-shoe'],
        seasonFrom: '12',
        seasonTo: '1',
      }),
    }
    const tried = async (today: string, machineId?: number) =>
      (
        await ruleTryOnFigure({
          draft,
          figureId,
          modelId,
          targets: [{ lineId: shoes, positions: ['LH'] }],
          machineId,
          today,
        })
      ).filter((change) => change.kind === 'added').length
    expect(await tried('2026-12-01', trailer)).toBe(1)
    expect(await tried('2026-02-01', trailer)).toBe(0)
    expect(await tried('2026-12-01')).toBe(0)
  })
})
