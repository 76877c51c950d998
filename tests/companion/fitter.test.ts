import { describe, expect, test } from 'vitest'
import { RULES } from '../../lib/companion/rules/index.ts'
import { endsOfLine } from '../../lib/figure/shaft-end.ts'
import { FIGURES } from '../../seed/figures/index.ts'
import { Workshop } from '../eval/fitter-job.ts'
import { scenarioJudge, type Tally, tallyAdd, tallyNone } from '../eval/fitter-score.ts'
import { type Scenario, scenariosRead } from './scenario.ts'

const SOURCE = 'common practice, no source'
const scenarios = scenariosRead()
const workshop = new Workshop()

describe('what a fitter takes', () => {
  test('is written down for jobs on every figure of the parts books, each under a name of its own', () => {
    expect(new Set(scenarios.map(({ figure }) => figure))).toEqual(new Set(FIGURES.map(({ slug }) => slug)))
    expect(scenarios.length).toBeGreaterThanOrEqual(45)
    expect(new Set(scenarios.map(({ id }) => id)).size).toBe(scenarios.length)
  })

  test('names only items and positions that the page has for the machine in hand', () => {
    for (const { id, figure, machine, targets, must, should, mustNot } of scenarios) {
      const page = workshop.figure(figure, machine.serial ?? null)
      const items = new Set(page.lines.map(({ item }) => item))
      const codes = new Set(page.positions.map(({ code }) => code))
      for (const one of [...targets, ...must, ...should, ...mustNot]) {
        if (!('item' in one)) continue
        expect(items, id).toContain(one.item)
        const ends = page.lines.filter(({ item }) => item === one.item).flatMap(({ facts }) => endsOfLine(facts))
        for (const code of one.positions ?? [])
          expect(/^\d+$/.test(code) || codes.has(code) || ends.some((end) => end === code), `${id}: ${code}`).toBe(true)
      }
    }
  })
})

describe('a plan held against the fitter', () => {
  // Every maker's manual says so: shoes are renewed on both wheels of the axle.
  const shoes: Scenario = {
    id: 'shoes',
    words: 'Shoes of the left wheel.',
    figure: 'trailer-hub-brake',
    machine: { serial: '2300' },
    targets: [{ item: '5', positions: ['LH'], quantity: 2 }],
    must: [{ item: '5', positions: ['RH'], quantity: 2, source: SOURCE }],
    should: [],
    mustNot: [{ item: '19', source: SOURCE }],
    source: SOURCE,
  }
  const judged = (scenario: Scenario, rules = RULES) => scenarioJudge(scenario, workshop.plan(scenario, rules))

  test('meets the must when the other wheel gets the same, and not when the rule for it is gone', () => {
    expect(judged(shoes)).toMatchObject({ musts: 1, mustsMet: 1, forbidden: 0 })
    const without = RULES.filter(({ then }) => then.what !== 'same-part-at-paired-position')
    expect(judged(shoes, without)).toMatchObject({ mustsMet: 0 })
    expect(judged(shoes, without).findings[0]).toMatchObject({ kind: 'missing', what: 'item 5 at RH x2' })
  })

  test('does not meet it with fewer pieces or at the wrong wheel', () => {
    const four: Scenario = { ...shoes, must: [{ item: '5', positions: ['RH'], quantity: 4, source: SOURCE }] }
    expect(judged(four).findings).toContainEqual(expect.objectContaining({ kind: 'wrong quantity' }))
    const left: Scenario = { ...shoes, must: [{ item: '5', positions: ['LH'], quantity: 2, source: SOURCE }] }
    expect(judged(left)).toMatchObject({ mustsMet: 0 })
  })

  test('does not take a check for met by another kind of act that uses its words', () => {
    const expecting = (act: 'check' | 'cleaning' | 'any'): Scenario => ({
      ...shoes,
      must: [{ act, about: ['walking pace'], source: SOURCE }],
    })
    expect(judged(expecting('check'))).toMatchObject({ mustsMet: 1 })
    expect(judged(expecting('any'))).toMatchObject({ mustsMet: 1 })
    expect(judged(expecting('cleaning'))).toMatchObject({ mustsMet: 0 })
  })

  test('takes what the job card shows in words for said, of the kind that its place makes it, but no part that comes off', () => {
    const asks = (act: 'check' | 'protection' | 'torque', about: string): Scenario => ({
      ...shoes,
      must: [{ act, about: [about], source: SOURCE }],
    })
    // A step before the wheel comes off, a test of the figure, and the plain step "Take off 14 Brake drum".
    expect(judged(asks('protection', 'crack the wheel nuts'))).toMatchObject({ mustsMet: 1, mustsShown: 1 })
    expect(judged(asks('torque', 'crack the wheel nuts'))).toMatchObject({ mustsMet: 0 })
    expect(judged(asks('check', 'lining of each shoe measured'))).toMatchObject({ mustsMet: 1, mustsShown: 1 })
    expect(judged(asks('protection', 'take off 14'))).toMatchObject({ mustsMet: 0 })
  })

  test('counts what nobody expects as too much, and what would be wrong however weakly it is said', () => {
    const bare = judged({ ...shoes, must: [] })
    expect(bare.right).toBe(0)
    expect(bare.findings.filter(({ kind }) => kind === 'too much')).toHaveLength(bare.said)
    const pair: Scenario = { ...shoes, must: [], mustNot: [{ item: '5', positions: ['RH'], source: SOURCE }] }
    expect(judged(pair).forbidden).toBe(1)
  })
})

describe('the rules the workshop starts with, held against the fitter job by job', () => {
  const sumOf = (asWritten: boolean) =>
    scenarios
      .map((scenario) => scenarioJudge(scenario, workshop.plan(scenario), asWritten))
      .reduce<Tally>(tallyAdd, tallyNone())
  const amended = sumOf(false)

  test('say everything without which a job fails, comes back or hurts someone', () => {
    expect(amended.musts).toBeGreaterThan(150)
    expect(amended.mustsMet).toBe(amended.musts)
  })

  test('say nothing that would be wrong on the job, however weakly', () => {
    expect(amended.forbidden).toBe(0)
  })

  test('say firmly little that a fitter would not take along or do', () => {
    expect(amended.right / amended.said).toBeGreaterThanOrEqual(0.9)
    expect(amended.rightGoods / amended.saidGoods).toBeGreaterThanOrEqual(0.9)
  })

  test('do not lean on what was amended for more than the safety acts that were forgotten', () => {
    const written = sumOf(true)
    expect(written.right / written.said).toBeGreaterThanOrEqual(0.83)
    expect(written.rightGoods / written.saidGoods).toBeGreaterThanOrEqual(0.95)
  })
})
