import { beforeAll, describe, expect, it } from 'vitest'
import { buyingSettings, buyingSettingsSave } from '../../lib/db/buying-settings.ts'
import { database } from '../../lib/db/client.ts'
import { draftDiscard, draftKeep } from '../../lib/db/order-draft.ts'
import { supersessionEnter } from '../../lib/db/part.ts'
import { partLineAdd, scheduleSave } from '../../lib/db/service-schedule.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { winterBegin, winterMachineSet, winterQuantitySet } from '../../lib/db/winter.ts'
import { winterBudgets } from '../../lib/db/winter-budget.ts'
import { winterFacts } from '../../lib/db/winter-facts.ts'
import { winterOrder, winterSpent } from '../../lib/db/winter-order.ts'
import { winterAgain, winterBuying, winterCancel, winterReckon, winterStanding } from '../../lib/db/winter-run.ts'
import { orderLastDay } from '../../lib/readiness/order-day.ts'
import { winterAnswer } from '../../lib/winter/answer.ts'
import { buyGroup, buyGroups } from '../../lib/winter/buy-list.ts'
import { choiceAt } from '../../lib/winter/choice.ts'
import { winterPlan } from '../../lib/winter/plan.ts'
import { choiceSays, waitingSays } from '../../lib/winter/words.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

/** A Monday; orders of today go out today. */
const NOW = new Date('2026-11-02T08:15:00Z')

let nell = ''
let planId = 0
const machines: number[] = []
const parts = { belt: 0, oldSeal: 0, seal: 0, bearing: 0, lamp: 0 }

const known = async () => {
  const facts = await winterFacts(planId, NOW)
  const planned = winterPlan(facts)
  return { facts, planned, answer: winterAnswer(planned, { budgetMinor: null, spentMinor: 0 }) }
}

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  const first = await aMachine('W-21')
  const { modelId } = await database().machine.findUniqueOrThrow({ where: { id: first } })
  machines.push(first, await aSecond(modelId))
  parts.belt = await aPart({ number: 'FM-210', description: 'Belt' })
  parts.oldSeal = await aPart({ number: 'FM-335', description: 'Seal' })
  parts.seal = await aPart({ number: 'FM-336', description: 'Seal' })
  parts.bearing = await aPart({ number: 'FM-334', description: 'Bearing' })
  parts.lamp = await aPart({ number: 'FM-500', description: 'Lamp' })
  await supersessionEnter(asWriter(nell), {
    oldPartId: parts.oldSeal,
    newPartId: parts.seal,
    ratio: 1,
    interchange: 'both-ways',
  })
  const { scheduleId } = await scheduleSave(asWriter(nell), {
    modelId,
    name: 'Winter service',
    everyHours: null,
    everyMonths: 12,
    toleranceHours: null,
    toleranceDays: 0,
  })
  const always = (partId: number, quantity: number) =>
    partLineAdd(asWriter(nell), { scheduleId, kind: 'always', partId, quantity })
  await always(parts.belt, 1)
  await always(parts.oldSeal, 2)
  await always(parts.lamp, 1)
  const look = await partLineAdd(asWriter(nell), {
    scheduleId,
    kind: 'on-condition',
    partId: parts.bearing,
    quantity: 2,
  })
  await inTransaction(async (tx) => {
    // Both were read a year ago, so the calendar has them due on 1 and 8 December.
    for (const [at, machineId] of machines.entries())
      await tx.hourReading.create({
        data: { machineId, at: new Date(`2025-12-0${1 + 7 * at}T08:00:00Z`), hourTenths: 10 },
      })
    const supplier = (name: string, leadTimeDays: number, orderDays: string | null) =>
      tx.supplier.create({ data: { name, nameKey: name.toLowerCase(), leadTimeDays, orderDays } })
    const hollin = await supplier('Hollin Bearings', 10, '1')
    const terms = { carriageMinor: 650, carriagePaidFromMinor: 8000, minimumOrderMinor: 5000 }
    await tx.supplier.update({ where: { id: hollin.id }, data: terms })
    const counter = await supplier('Corner counter', 0, null)
    const offer = (supplierId: number, partId: number, priceMinor: number, pack: number) =>
      tx.offer.create({ data: { supplierId, partId, priceMinor, pack, minimum: pack } })
    await offer(hollin.id, parts.belt, 2150, 1)
    await offer(hollin.id, parts.bearing, 1890, 2)
    await offer(counter.id, parts.seal, 420, 1)
    // Four looks at bearings in services that are closed: one had to be renewed.
    for (let number = 1; number <= 4; number++) {
      const job = { number, machineId: first, state: 'closed', kind: 'service', complaint: 'Service', openedById: nell }
      const { id } = await tx.job.create({ data: { ...job, openedAt: new Date(`2025-0${number}-01T08:00:00Z`) } })
      const task = { jobId: id, lineId: look.lineId, kind: 'look', sort: 1, text: 'Bearing' }
      await tx.serviceTask.create({ data: { ...task, state: number === 1 ? 'renewed' : 'good' } })
    }
    const open = {
      number: 9,
      machineId: first,
      complaint: 'Belt slips',
      openedById: nell,
      openedAt: NOW,
      needOn: '2026-11-05',
    }
    const { id } = await tx.job.create({ data: open })
    const need = {
      jobId: id,
      key: 'by-hand:belt',
      origin: 'by-hand',
      kind: 'part',
      partId: parts.belt,
      description: 'Belt',
    }
    await tx.jobNeed.create({ data: { ...need, strength: 'must', suggested: 1, wanted: 1, state: 'accepted' } })
  })
  const binId = await aBin()
  for (const [partId, quantity] of [
    [parts.belt, 1],
    [parts.oldSeal, 1],
    [parts.seal, 3],
    [parts.bearing, 2],
    [parts.lamp, 5],
  ] as const)
    await stockReceive(asWriter(nell), { partId, binId, quantity })
  const season = {
    name: 'Winter 2026/27',
    from: '2026-11-02',
    until: '2027-02-28',
    machinesAWeek: 1,
    workdays: [1, 2, 3, 4, 5],
  }
  planId = (await winterBegin(asWriter(nell), { ...season, shut: [] })).planId
})

function aSecond(modelId: number): Promise<number> {
  return inTransaction(async (tx) => {
    const two = { modelId, fleetNumber: 'W-22', fleetKey: 'w22', name: 'Trailer' }
    return (await tx.machine.create({ data: two })).id
  })
}

describe('a winter plan from the workshop’s data', () => {
  it('knows what is due, what it certainly and perhaps takes, and what the money for it brings', async () => {
    const { facts, planned, answer } = await known()
    expect(facts.machines.map((one) => [one.fleetNumber, one.services[0]!.dueOn])).toEqual([
      ['W-21', '2026-12-01'],
      ['W-22', '2026-12-08'],
    ])
    // Ordered on the Monday that is today, ten days on the way: both weeks begin after the belts have come.
    expect(planned.places.map(({ weekOn }) => weekOn)).toEqual(['2026-11-16', '2026-11-23'])
    // The one belt that lies there is kept for job 9, which so lacks nothing; both services lack theirs.
    expect(answer.works.map(({ id, now }) => [id, now])).toEqual([
      ['W-21 service', 0],
      ['W-22 service', 0],
    ])
    // Renewed at 1 of 4, half a look on either side: Beta(1.5, 3.5). Two machines both need the pair with a chance of
    // (1.5 / 5) (2.5 / 6) = 0.125, and two bearings lie there for one of them.
    // Source: Gelman and others, Bayesian Data Analysis, 3rd edition, section 2.4 (beta-binomial), by hand.
    expect(answer.curve.start).toBe(0)
    expect(
      answer.curve.steps.map(({ partId, pieces, costMinor, isCertain }) => [partId, pieces, costMinor, isCertain]),
    ).toEqual([
      [parts.belt, 1, 2150 + 650, true],
      [parts.belt, 1, 4300 + 650, true],
      // 80.80 of goods: from 80.00 on the supplier pays the carriage.
      [parts.bearing, 2, 4300 + 3780, false],
    ])
    // One belt makes one machine ready, but the plan not yet.
    expect(answer.curve.steps[0]!.readiness).toBe(0)
    expect(answer.curve.steps[1]!.readiness).toBeCloseTo(0.875, 12)
    expect(answer.curve.steps[2]!.readiness).toBeCloseTo(1, 12)
    expect([answer.budgetMinor, answer.bought]).toEqual([8080, expect.closeTo(1, 12)])
    // Needed on Monday 16 November: ten days before is the 6th, and orders go out on Mondays.
    expect(answer.parts.find(({ partId }) => partId === parts.belt)!.lastDay).toBe('2026-11-02')
  })

  it('says what is wrong with the data and what to do, and reckons on with the rest', async () => {
    const { answer } = await known()
    expect(answer.faults.map(({ where, says }) => `${where}: ${says}`)).toEqual([
      'FM-335: is superseded by FM-336, which is taken in its place',
      'Corner counter: has no lead time, so its goods are reckoned as there on the day they are ordered',
      'Failures: are not foreseen, for levels were never reckoned: only planned work and open jobs count',
      'part FM-500: nobody sells it',
    ])
    for (const { next } of answer.faults) expect(next).not.toBe('')
  })

  it('a week moved by hand stays, even before the parts come; it is then said to wait, and no chance is said without it', async () => {
    await winterMachineSet(asWriter(nell), { planId, machineId: machines[1]!, comes: 'due', weekOn: '2026-11-11' })
    const { planned, answer } = await known()
    expect(planned.places).toEqual([
      { id: machines[0], weekOn: '2026-11-16', why: 'proposed' },
      { id: machines[1], weekOn: '2026-11-09', why: 'by-hand' },
    ])
    expect(answer.faults.map(({ where, says }) => `${where} ${says}`)).toContain(
      'W-22 service is wanted by 9 Nov 2026, and FM-210 can be there on 12 Nov 2026 at the earliest',
    )
    expect(answer.waits).toEqual([{ machineId: machines[1], machine: 'W-22', part: 'FM-210', until: '2026-11-12' }])
    expect([answer.now, answer.bought]).toEqual([0, 0])
    expect(answer.machines.find(({ machineId }) => machineId === machines[1])).toMatchObject({ now: 0, bought: 0 })
    const late = answer.works.find(({ id }) => id === 'W-22 service')!
    expect([late.now, late.bought]).toEqual([0, 0])
    expect(late.lacks[0]).toEqual({ partId: parts.belt, now: 0, bought: 0 })
    expect(choiceSays(answer.curve, answer.budgetMinor, 'GBP', answer.waits)).toContain(
      'the chance that no other machine waits for a part is 100 %, but W-22 waits until 12 Nov 2026 for FM-210 whatever is bought;',
    )
    expect(waitingSays(answer.machines)).toContain(' 1.0 with the list bought.')
    await expect(
      winterMachineSet(asWriter(nell), { planId, machineId: machines[1]!, comes: 'due', weekOn: '2027-03-08' }),
    ).rejects.toThrow()
    await winterMachineSet(asWriter(nell), { planId, machineId: machines[1]!, comes: 'out', weekOn: null })
    expect((await known()).planned.places.map(({ id }) => id)).toEqual([machines[0]])
    await winterMachineSet(asWriter(nell), { planId, machineId: machines[1]!, comes: 'due', weekOn: null })
    expect((await known()).answer.waits.filter(({ machineId }) => machineId === machines[1])).toEqual([])
  })
})

describe('a list made into orders', () => {
  /** Two belts and two bearings, carriage paid. */
  const COSTS = { goodsMinor: 8080, carriageMinor: 0 }
  let hollin = 0
  beforeAll(async () => {
    hollin = (await database().supplier.findFirstOrThrow({ where: { name: 'Hollin Bearings' } })).id
  })
  const lines = (supplierId: number) => {
    const of = { supplierId, seen: 0 }
    return [
      { partId: parts.belt, quantity: 2, ...of },
      { partId: parts.bearing, quantity: 2, ...of },
    ]
  }

  it('a quantity set by hand is kept beside the slider, and no more of it is proposed', async () => {
    await winterQuantitySet(asWriter(nell), { planId, partId: parts.bearing, quantity: 4 })
    const { answer } = await known()
    const { parts: listed } = (await winterBuying(await winterStanding(planId, NOW)))!
    const bearing = listed.find(({ partId }) => partId === parts.bearing)!
    // Its supplier takes ten days for it, proposed or not, and orders on Mondays.
    expect([bearing.byHand, bearing.lastDay]).toEqual([4, orderLastDay(bearing.neededOn, 10, ['mon'])])
    expect(answer.curve.baseMinor).toBe(4 * 1890 + 650)
    expect(answer.curve.steps.map(({ partId }) => partId)).toEqual([parts.belt, parts.belt])
    expect(answer.curve.steps[1]!.readiness).toBeCloseTo(1, 12)
    await expect(winterQuantitySet(asWriter(nell), { planId, partId: parts.bearing, quantity: 3 })).rejects.toThrow()
    await winterQuantitySet(asWriter(nell), { planId, partId: parts.bearing, quantity: null })
  })

  it('what nobody sells and a job waits for is named beside the list, with the reason; it is in no group of it', async () => {
    expect((await winterBuying(await winterStanding(planId, NOW)))!.absent).toEqual([])
    const job = await database().job.findUniqueOrThrow({ where: { number: 9 } })
    const lamps = await database().jobNeed.create({
      data: {
        ...{ jobId: job.id, key: 'by-hand:lamp', origin: 'by-hand', kind: 'part', partId: parts.lamp },
        ...{ description: 'Lamp', strength: 'must', suggested: 9, wanted: 9, state: 'accepted' },
      },
    })
    const { parts: sold, absent } = (await winterBuying(await winterStanding(planId, NOW)))!
    // Nine for the job and one for each of two services; five lie there.
    expect(absent).toMatchObject([{ partId: parts.lamp, quantity: 6, isCertain: true }])
    expect(absent[0]!.why).toContain('no supplier on file sells it')
    expect(sold.map(({ partId }) => partId)).not.toContain(parts.lamp)
    await database().jobNeed.delete({ where: { id: lamps.id } })
  })

  it('what stands in a draft is not bought a second time, and is wanted again once the draft is discarded', async () => {
    const wanted = { supplierId: hollin, lines: [{ partId: parts.belt, quantity: 2 }] }
    const { draftId } = await draftKeep(asWriter(nell), wanted)
    const standing = await winterStanding(planId, NOW)
    expect(standing.answer!.curve.steps.map(({ partId }) => partId)).toEqual([parts.bearing])
    const belt = (await winterBuying(standing))!.parts.find(({ partId }) => partId === parts.belt)!
    expect([belt.drafts, belt.seen]).toEqual([[{ draftId, quantity: 2 }], 2])
    // A list from before the draft is refused: it would buy the belts twice.
    const seenBefore = { planId, ordersMade: 0, lines: lines(hollin), costs: [{ ...COSTS, supplierId: hollin }] }
    await expect(winterOrder(asWriter(nell), seenBefore, new Map())).rejects.toMatchObject({
      code: 'winter/coming-meanwhile',
    })
    await draftDiscard(asWriter(nell), { draftId, version: 1 })
    expect((await winterStanding(planId, NOW)).answer!.curve.steps.map(({ partId }) => partId)).toEqual([
      parts.belt,
      parts.belt,
      parts.bearing,
    ])
  })

  it('above the limit of whoever presses becomes a draft of the plan: it counts as coming and as spent until it is discarded', async () => {
    await buyingSettingsSave(asWriter(nell), { ...(await buyingSettings()), buyerLimitMinor: 8_000 })
    const input = { planId, ordersMade: 0, lines: lines(hollin), costs: [{ ...COSTS, supplierId: hollin }] }
    const press = asWriter(nell, { now: NOW })
    const made = await winterOrder(press, input, new Map())
    expect(await winterOrder(press, input, new Map())).toEqual(made)
    expect(made).toEqual({ orderIds: [], drafts: [{ draftId: expect.any(Number), supplier: 'Hollin Bearings' }] })
    expect(await database().purchaseOrder.count()).toBe(0)
    expect(await winterSpent(planId, '2026-11-02')).toEqual({ ordered: 0, drafted: 8080 })
    const standing = await winterStanding(planId, NOW)
    expect([standing.answer!.curve.steps, standing.answer!.curve.baseMinor]).toEqual([[], 8080])
    const centres = (await winterBudgets(standing, null)).rows
    expect(centres.map(({ planned, drafts, onOrder }) => [planned, drafts, onOrder])).toEqual([[0, 8080, 0]])
    const { draftId } = made.drafts[0]!
    await draftDiscard(asWriter(nell), { draftId, version: 1 })
    expect(await winterSpent(planId, '2026-11-02')).toEqual({ ordered: 0, drafted: 0 })
    expect((await winterStanding(planId, NOW)).answer!.curve.steps.map(({ partId }) => partId)).toEqual([
      parts.belt,
      parts.belt,
      parts.bearing,
    ])
    await buyingSettingsSave(asWriter(nell), { ...(await buyingSettings()), buyerLimitMinor: null })
  })

  it('what is left for a later order stays on the list, with the money for it', async () => {
    await buyingSettingsSave(asWriter(nell), { ...(await buyingSettings()), buyerLimitMinor: 1 })
    const [belts] = lines(hollin)
    const shown = await winterStanding(planId, NOW)
    const costs = (buying: NonNullable<Awaited<ReturnType<typeof winterBuying>>>, standing: typeof shown) => {
      const { count } = choiceAt(standing.answer!.curve, standing.answer!.budgetMinor)
      return buyGroups(standing.answer!.curve, count, buying.parts, buying.suppliers)
    }
    const [all] = costs((await winterBuying(shown))!, shown)
    const bought = (partId: number) => all!.lines.filter(({ part }) => part.partId === partId)
    const [now, later] = [parts.belt, parts.bearing].map((partId) => buyGroup(all!.supplier, bought(partId)))
    const { goodsMinor, carriageMinor } = now!
    const input = {
      ...{ planId, ordersMade: 1, lines: [belts!], costs: [{ supplierId: hollin, goodsMinor, carriageMinor }] },
      leftMinor: later!.goodsMinor + later!.carriageMinor,
    }
    const { drafts } = await winterOrder(asWriter(nell, { now: NOW }), input, new Map())
    const standing = await winterStanding(planId, NOW)
    expect(standing.answer!.budgetMinor).toBe(goodsMinor + carriageMinor + input.leftMinor)
    const left = costs((await winterBuying(standing))!, standing)
    expect(left.map((group) => group.lines.map(({ part, quantity }) => [part.partId, quantity]))).toEqual([
      [[parts.bearing, 2]],
    ])
    await draftDiscard(asWriter(nell), { draftId: drafts[0]!.draftId, version: 1 })
    await buyingSettingsSave(asWriter(nell), { ...(await buyingSettings()), buyerLimitMinor: null })
  })

  it('is ordered once, however often it is pressed, and counts as on order and as spent', async () => {
    const input = { planId, ordersMade: 2, lines: lines(hollin), costs: [{ ...COSTS, supplierId: hollin }] }
    // What the list said to the penny is what is ordered: a price that moved meanwhile is refused.
    const dearer = { ...input, costs: [{ ...COSTS, supplierId: hollin, goodsMinor: 8079 }] }
    await expect(winterOrder(asWriter(nell), dearer, new Map())).rejects.toMatchObject({
      code: 'winter/price-meanwhile',
      details: { supplier: 'Hollin Bearings', now: '£80.80', shown: '£80.79' },
    })
    const press = asWriter(nell, { now: NOW })
    const first = await winterOrder(press, input, new Map())
    expect(await winterOrder(press, input, new Map())).toEqual(first)
    // Somebody else presses on a page that was opened before.
    await expect(winterOrder(asWriter(nell), input, new Map())).rejects.toThrow()
    await expect(winterOrder(asWriter(nell), { ...input, ordersMade: 3 }, new Map())).rejects.toThrow()
    const placed = await database().purchaseOrderLine.findMany({ orderBy: { id: 'asc' } })
    expect(placed.map(({ partId, quantity }) => [partId, quantity])).toEqual([
      [parts.belt, 2],
      [parts.bearing, 2],
    ])
    expect(await winterSpent(planId, '2026-11-02')).toEqual({ ordered: 8080, drafted: 0 })
    const { answer, far } = await winterStanding(planId, NOW)
    expect(far).toBeNull()
    expect([answer!.now, answer!.budgetMinor, answer!.curve.steps]).toEqual([expect.closeTo(1, 12), 8080, []])
  })

  it('a large plan is reckoned beside the page: told as at work, kept when it is done, given up when cancelled', async () => {
    await winterMachineSet(asWriter(nell), { planId, machineId: machines[1]!, comes: 'in', weekOn: null })
    const begun: number[] = []
    const large = { linesAtOnce: 0, start: (id: number) => begun.push(id) && process.pid }
    expect((await winterStanding(planId, NOW, large)).answer).not.toBeNull()
    await winterMachineSet(asWriter(nell), { planId, machineId: machines[1]!, comes: 'out', weekOn: null })
    expect(await winterStanding(planId, NOW, large)).toMatchObject({ answer: null, far: '', isBroken: false })
    expect(await winterStanding(planId, NOW, large)).toMatchObject({ answer: null, far: '' })
    expect(begun).toEqual([planId])
    const reckoned = await winterReckon(planId, NOW, () => 0)
    expect((await winterStanding(planId, NOW, large)).answer).toEqual(JSON.parse(JSON.stringify(reckoned)))
    await winterMachineSet(asWriter(nell), { planId, machineId: machines[1]!, comes: 'due', weekOn: '2026-12-07' })
    winterCancel(planId)
    let clock = 0
    expect(
      await winterReckon(planId, NOW, () => {
        clock += 1000
        return clock
      }),
    ).toBeNull()
    expect(await winterStanding(planId, NOW, large)).toMatchObject({ answer: null, far: null, isBroken: true })
    winterAgain(planId)
    expect(await winterStanding(planId, NOW, large)).toMatchObject({ far: '', isBroken: false })
  })
})
