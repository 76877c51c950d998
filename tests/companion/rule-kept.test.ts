import { beforeAll, describe, expect, test } from 'vitest'
import { RULE_FORM_EMPTY, type RuleForm, ruleFormOf } from '../../lib/companion/rule-form.ts'
import { RULES } from '../../lib/companion/rules/index.ts'
import { database } from '../../lib/db/client.ts'
import { ruleAdd, ruleBack, ruleBookNow, ruleChange, ruleSteps, ruleSwitch } from '../../lib/db/companion-rule.ts'
import { jobOpen, jobTarget } from '../../lib/db/job.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aTrailer, hubBrakeImported, lineIdOf } from '../job/hub-brake-job.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let nell = ''
let owen = ''
let figureId = 0
let modelId = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  owen = await aPerson('Owen Tarrant')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
})

const form: RuleForm = {
  ...RULE_FORM_EMPTY,
  words: 'Mark each shoe with the wheel it came from before it goes to be relined.',
  classes: ['brake-shoe'],
  stage: 'apart',
}
const entryOf = async (ruleId: string) => (await ruleBookNow()).entries.find((one) => one.rule.id === ruleId)!

let fleet = 0
/** What a fresh job on the left shoes is also asked for. */
async function asked() {
  fleet += 1
  const machineId = await aTrailer(modelId, `T-${fleet}`, '2249')
  const { jobId } = await jobOpen(asWriter(nell), {
    machineId,
    complaint: 'left brake binds',
    kind: 'repair',
    hours: null,
    unsafe: false,
    positions: [],
  })
  const lineId = await lineIdOf(figureId, 'DM60130')
  await jobTarget(asWriter(nell), { jobId, figureId, lineId, positions: ['LH'], quantity: 2 })
  return { jobId, needs: (await jobView(jobId)).needs }
}

describe('a rule of the workshop, from its first day:', () => {
  let ruleId = ''
  let seen = 0
  let jobId = 0

  test('sent twice with one key it is one rule', async () => {
    const write = asWriter(nell, { key: 'rule-once-only' })
    const first = await ruleAdd(write, { ...form, reason: 'two sets were mixed up' })
    expect(await ruleAdd(write, { ...form, reason: 'two sets were mixed up' })).toEqual(first)
    expect(await database().companionRule.count()).toBe(1)
    ;({ ruleId, seen } = first)
    expect(await entryOf(ruleId)).toMatchObject({ origin: 'own', state: 'on', rule: { words: form.words } })
  })

  test('the next job on brake shoes is asked for it, as the workshop’s own', async () => {
    const job = await asked()
    jobId = job.jobId
    const need = job.needs.find((one) => one.description === form.words)!
    expect(need).toMatchObject({ kind: 'act', strength: 'should', state: 'open' })
    expect(need.reasons).toMatchObject([{ ruleId, origin: 'own', source: 'practice of this workshop' }])
    const pair = job.needs.find((one) => one.reasons.some((reason) => reason.ruleId === 'brake-friction-pair'))!
    expect(pair.reasons.every((reason) => reason.origin === undefined)).toBe(true)
  })

  test('it is refused in words where it cannot be used, and nothing is kept', async () => {
    await expect(ruleAdd(asWriter(nell), { ...form, words: 'Mark.', strength: '', reason: '' })).rejects.toMatchObject({
      code: 'companion/bad-rule',
      fields: {
        words: 'say what is to be done and why in 10 to 220 characters',
        strength: 'choose how strongly it is asked for',
      },
    })
    expect(await database().companionRule.count()).toBe(1)
  })

  test('whoever looked at an older state overwrites nobody', async () => {
    const changed = { ...form, strength: 'must', ruleId, seen, reason: 'happened again' }
    const { seen: now } = await ruleChange(asWriter(owen), changed)
    await expect(ruleChange(asWriter(nell), { ...changed, strength: 'consider' })).rejects.toMatchObject({
      code: 'companion/rule-moved',
      happened: 'Owen Tarrant changed this rule while you looked at it.',
    })
    await expect(ruleChange(asWriter(nell), { ...changed, seen: now })).rejects.toMatchObject({
      happened: expect.stringContaining('nothing differs'),
    })
    seen = now
    expect((await entryOf(ruleId)).rule.strength).toBe('must')
  })

  test('switched off it is not asked for again; the job that has it keeps it until it is planned anew', async () => {
    await ruleSwitch(asWriter(nell), { ruleId, seen, state: 'off', reason: 'relined outside now' })
    expect((await asked()).needs.some((need) => need.description === form.words)).toBe(false)
    expect((await jobView(jobId)).needs.some((need) => need.description === form.words)).toBe(true)
  })

  test('its history says who, when, why and what was before', async () => {
    const steps = await ruleSteps(ruleId)
    expect(steps.map(({ act, state, by, reason, rule }) => [act, state, by, reason, rule?.strength])).toEqual([
      ['off', 'off', 'Nell Farrow', 'relined outside now', 'must'],
      ['changed', 'on', 'Owen Tarrant', 'happened again', 'must'],
      ['added', 'on', 'Nell Farrow', 'two sets were mixed up', 'should'],
    ])
    expect(steps.every((step) => step.at.getTime() === Date.parse('2026-11-02T08:15:00Z'))).toBe(true)
  })

  test('the history is never rewritten, whoever writes to the file', async () => {
    const bend = (sql: string) => inTransaction((tx) => tx.$executeRawUnsafe(sql))
    await expect(bend(`UPDATE "CompanionRule" SET "reason" = 'none'`)).rejects.toThrow(/never changed/)
    await expect(bend('DELETE FROM "CompanionRule"')).rejects.toThrow(/never deleted/)
    expect(await ruleSteps(ruleId)).toHaveLength(3)
  })
})

describe('a shipped rule', () => {
  const shipped = RULES.find((rule) => rule.id === 'brake-friction-pair')!
  const words = 'Both wheels of an axle or none: ours pull to the ditch.'

  test('changed by the workshop is asked for in its words, and says so', async () => {
    const { seen } = await ruleChange(asWriter(nell), {
      ...ruleFormOf(shipped),
      words,
      strength: 'should',
      ruleId: shipped.id,
      seen: 0,
      reason: 'one wheel was left once',
    })
    const need = (await asked()).needs.find((one) => one.reasons.some((reason) => reason.ruleId === shipped.id))!
    expect(need.strength).toBe('should')
    expect(need.reasons.find((reason) => reason.ruleId === shipped.id)).toMatchObject({ words, origin: 'changed' })
    await ruleBack(asWriter(owen), { ruleId: shipped.id, seen, reason: 'the book is right' })
    expect(await entryOf(shipped.id)).toEqual({ rule: shipped, origin: 'shipped', state: 'on', shipped })
    expect((await ruleSteps(shipped.id)).map((step) => [step.act, step.rule?.words])).toEqual([
      ['back', shipped.words],
      ['changed', words],
    ])
  })

  test('switched off with its reason is not asked for, and on again it is', async () => {
    const [last] = await ruleSteps(shipped.id)
    const off = await ruleSwitch(asWriter(nell), {
      ruleId: shipped.id,
      seen: last!.id,
      state: 'off',
      reason: 'one brake a trailer',
    })
    const has = async () =>
      (await asked()).needs.some((one) => one.reasons.some((reason) => reason.ruleId === shipped.id))
    expect(await has()).toBe(false)
    await ruleSwitch(asWriter(nell), { ruleId: shipped.id, seen: off.seen, state: 'on', reason: 'new trailer' })
    expect(await has()).toBe(true)
  })

  test('that nobody ships is no rule', async () => {
    const input = { ruleId: 'no-such-rule', seen: 0, state: 'off', reason: 'for a try' } as const
    await expect(ruleSwitch(asWriter(nell), input)).rejects.toMatchObject({ code: 'companion/no-such-rule' })
  })
})
