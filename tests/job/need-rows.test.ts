import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { RULES } from '../../lib/companion/rules/index.ts'
import { needRows, positionsSay, type RowNeed, wantedShare } from '../../lib/job/need-rows.ts'

fc.configureGlobal({ seed: 20260105 })

let id = 0
const line = (more: Partial<RowNeed>): RowNeed => ({
  id: ++id,
  key: `4:part:${id}`,
  kind: 'part',
  part: { id: 31 },
  positions: [],
  description: 'Split pin, 6.3 x 50',
  strength: 'must',
  unit: 'each',
  suggested: 1,
  wanted: 1,
  state: 'open',
  declineReason: null,
  insteadOf: null,
  reasons: [],
  ...more,
})
const reason = (ruleId: string, words: string, source: string, strength: string) => ({
  ruleId,
  words,
  source,
  strength,
})
const act = (ruleId: string, more: Partial<RowNeed> = {}) => {
  const rule = RULES.find((one) => one.id === ruleId)!
  return line({
    key: `4:act:${ruleId}`,
    kind: 'act',
    part: null,
    description: rule.words,
    strength: rule.strength,
    suggested: 0,
    reasons: [reason(ruleId, rule.words, rule.source, rule.strength)],
    ...more,
  })
}

describe('the rows of what a job also needs', () => {
  test('the same part for both sides is one row with the sum, both sides in words, and each source once', () => {
    const words = 'A split pin is used once.'
    const why = [reason('split-pin', words, 'ISO 1234', 'must')]
    const left = line({ positions: ['LH'], suggested: 2, reasons: why })
    const right = line({ key: `${left.key}+other`, positions: ['RH'], suggested: 3, reasons: why })
    const rows = needRows([left, right], RULES)
    expect(rows).toHaveLength(1)
    expect(rows[0]).toMatchObject({
      quantity: 5,
      positions: ['LH', 'RH'],
      reasons: [{ words, strength: 'must' }],
      sources: ['ISO 1234'],
    })
    expect(positionsSay(rows[0]!.positions)).toBe('LH and RH')
    expect(positionsSay(['3', '9', '15'])).toBe('3, 9 and 15')
    expect(positionsSay(['LH'])).toBe('LH')
    expect(positionsSay(['DE', 'NDE'])).toBe('drive end and non-drive end')
  })

  test('another part is another row, and so is a part on file beside one that is not', () => {
    const rows = needRows([line({}), line({ part: { id: 32 } }), line({ part: null })], RULES)
    expect(rows.map((row) => row.needs.length)).toEqual([1, 1, 1])
  })

  test('two joints that ask unlike strongly for one part: the strongest counts, both amounts, both reasons', () => {
    const should = line({
      strength: 'should',
      suggested: 4,
      reasons: [reason('a-rule', 'Tired.', 'source A', 'should')],
    })
    const must = line({ strength: 'must', suggested: 1, reasons: [reason('b-rule', 'Used once.', 'source B', 'must')] })
    const [row, ...more] = needRows([should, must], RULES)
    expect(more).toEqual([])
    expect(row).toMatchObject({ strength: 'must', quantity: 5, sources: ['source A', 'source B'] })
    expect(row!.reasons).toEqual([
      { words: 'Used once.', strength: 'must' },
      { words: 'Tired.', strength: 'should' },
    ])
  })

  test('a side that may stay shut is not made a must by the side that is open; once it is agreed to, they are one row', () => {
    const left = line({ positions: ['LH'] })
    const right = line({ key: `${left.key}+other`, positions: ['RH'], strength: 'consider' })
    expect(needRows([left, right], RULES).map((row) => [row.strength, row.positions.join(), row.quantity])).toEqual([
      ['must', 'LH', 1],
      ['consider', 'RH', 1],
    ])
    const agreed = [left, right].map((need) => ({ ...need, state: 'accepted' as const }))
    expect(needRows(agreed, RULES)).toMatchObject([{ quantity: 2, positions: ['LH', 'RH'] }])
  })

  test('what is answered does not stand with what is open, and two refusals keep their own words', () => {
    const rows = needRows(
      [
        line({}),
        line({ state: 'accepted', wanted: 6 }),
        line({ state: 'declined', declineReason: 'new last week' }),
        line({ state: 'declined', declineReason: 'not opened' }),
      ],
      RULES,
    )
    expect(rows.map((row) => [row.state, row.quantity])).toEqual([
      ['open', 1],
      ['accepted', 6],
      ['declined', 1],
      ['declined', 1],
    ])
  })

  test('grouped by what a person does, in the order of work, must first', () => {
    const needs = [
      act('wheel-nut-recheck'),
      act('torque-wrench-rest'),
      act('torque-stay-dry'),
      act('lining-clean-hands'),
      act('wheel-face-bare'),
      act('key-out'),
      act('axle-stands'),
      act('catch-fluid'),
      line({ kind: 'consumable', part: { id: 7 }, reasons: [reason('dust-mask', 'Mask.', 'x', 'must')] }),
      line({
        kind: 'consumable',
        part: { id: 8 },
        strength: 'should',
        reasons: [reason('brake-cleaner', 'Can.', 'x', 'should')],
      }),
      line({ part: { id: 9 }, strength: 'should' }),
      line({ part: { id: 10 } }),
    ]
    const rows = needRows(needs, RULES)
    expect(rows.map((row) => [row.group, row.stage, row.strength, row.needs.length])).toEqual([
      ['take', null, 'must', 1],
      ['take', null, 'should', 1],
      ['consumables', null, 'should', 1],
      ['protect', null, 'must', 1],
      ['protect', 'before', 'must', 2],
      ['tools', 'bring', 'should', 1],
      ['do', 'apart', 'must', 2],
      ['do', 'tighten', 'must', 2],
      ['do', 'release', 'must', 1],
    ])
    // Within a stage the musts are read first, whatever came first.
    expect(rows.find((row) => row.stage === 'apart')!.needs.map((need) => need.strength)).toEqual(['must', 'should'])
  })

  test('no line is lost or doubled, and the sums are those of the lines', () => {
    const some = fc.record({
      partId: fc.constantFrom(1, 2, null),
      state: fc.constantFrom('open' as const, 'accepted' as const, 'declined' as const),
      strength: fc.constantFrom('must' as const, 'should' as const, 'consider' as const),
      suggested: fc.integer({ min: 1, max: 9 }),
      isOther: fc.boolean(),
    })
    fc.assert(
      fc.property(fc.array(some, { maxLength: 12 }), (all) => {
        const needs = all.map(({ partId, isOther, ...more }, at) =>
          line({
            ...more,
            wanted: more.suggested,
            part: partId === null ? null : { id: partId },
            key: `4:x:${at}${isOther ? '+other' : ''}`,
          }),
        )
        const rows = needRows(needs, RULES)
        expect(rows.flatMap((row) => row.needs.map((need) => need.id)).sort()).toEqual(
          needs.map((need) => need.id).sort(),
        )
        for (const row of rows) expect(row.quantity).toBe(row.needs.reduce((sum, need) => sum + need.suggested, 0))
        expect(new Set(rows.map((row) => row.key)).size).toBe(rows.length)
      }),
    )
  })
})

describe('what a person wants of a row', () => {
  test('goes to its lines in their order, what is more to the first', () => {
    const lines = [
      { suggested: 2, taken: 0 },
      { suggested: 2, taken: 0 },
    ]
    expect(wantedShare(3, lines)).toEqual([2, 1])
    expect(wantedShare(2, lines)).toEqual([2, 0])
    expect(wantedShare(5, lines)).toEqual([3, 2])
  })

  test('always adds up, and no line falls below what is taken for it', () => {
    const lines = fc.array(fc.record({ suggested: fc.nat(9), taken: fc.nat(4) }), { minLength: 1, maxLength: 5 })
    fc.assert(
      fc.property(fc.nat(40), lines, (total, all) => {
        const shares = wantedShare(total, all)
        const taken = all.reduce((sum, one) => sum + one.taken, 0)
        expect(shares.reduce((sum, one) => sum + one, 0)).toBe(Math.max(total, taken))
        for (const [at, share] of shares.entries()) expect(share).toBeGreaterThanOrEqual(all[at]!.taken)
      }),
    )
  })
})
