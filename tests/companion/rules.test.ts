import { describe, expect, test } from 'vitest'
import type { PartClass } from '../../lib/catalogue/part-class.ts'
import { classSafetyJoint } from '../../lib/catalogue/safety-class.ts'
import type { MachineNow } from '../../lib/companion/machine-now.ts'
import { type Rule, ruleParse, rulesParse } from '../../lib/companion/rule.ts'
import type { RuleFact } from '../../lib/companion/rule-terms.ts'
import { RULES } from '../../lib/companion/rules/index.ts'
import { companionSuggest, type FigureLine } from '../../lib/companion/suggest.ts'
import { FLUIDS } from '../../lib/figure/schema.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { aJob, aLine, TWO_WHEELS } from './builders.ts'

/** A small figure: the line a rule looks at (5), one it could ask for (6, held by it), one behind it (9). */
interface Bench {
  line: FigureLine
  asked: PartClass | null
  role: 'target' | 'comes off' | 'stays on'
  paired: boolean
  /** Holds the line, as item 7. */
  heldBy: PartClass | null
  /** The line holds it, as item 8. */
  holds: PartClass | null
  machine: MachineNow
}

const TRACTOR: MachineNow = { today: '2026-06-15', maker: '', model: '', hourTenths: null, year: null, renewed: [] }
const inMonth = (month: number) => ({ ...TRACTOR, today: `2026-${String(month).padStart(2, '0')}-15` })

/** A machine of the model, old enough by the years, else by the hours, in the first month of the season. */
function machineOf({ model, age, season }: Rule['when']): MachineNow {
  const now = inMonth(season?.from ?? 6)
  return {
    ...now,
    model: model?.[0] ?? '',
    year: age?.years === undefined ? null : 2025 - age.years,
    hourTenths: age?.years === undefined && age?.hours !== undefined ? age.hours * 10 : null,
  }
}

const FACTS: Record<RuleFact, Partial<FigureLine>> = {
  stations: { facts: { stations: 24 }, quantity: 24 },
  ends: { facts: { ends: ['DE', 'NDE'] } },
  thread: { facts: { thread: 'M10' } },
  torqueNm: { facts: { torqueNm: 120 } },
  splitPinHoleMm: { facts: { splitPinHoleMm: 5 } },
  clevisPinMm: { facts: { clevisPinMm: 10 } },
  fillLitres: { facts: { fillLitres: 2 } },
  massKg: { facts: { massKg: 30 } },
  matchedWith: { facts: { matchedWith: '6' } },
  outsideMm: { partFacts: { outsideMm: 62 } },
  widthMm: { partFacts: { widthMm: 16 } },
}

function benchOf({ when, then }: Rule, partClass: PartClass, asked: PartClass | null): Bench {
  const line = aLine('5', partClass, { quantity: when.piecesMin ?? 2 })
  for (const fact of when.has ?? []) {
    const more = FACTS[fact]
    Object.assign(line, more, {
      facts: { ...line.facts, ...more.facts },
      partFacts: { ...line.partFacts, ...more.partFacts },
    })
  }
  if (when.fluid) line.facts.fluid = when.fluid[0]!
  if (when.joint) line.facts.joint = [when.joint[0]!]
  if (when.safetyJoint) line.facts.safetyJoint = when.safetyJoint[0]!
  if (when.torqueState) line.facts.torqueState = when.torqueState[0]!
  if (when.threadMm) line.facts.thread = `M${when.threadMm.upTo ?? (when.threadMm.over ?? 0) + 2}`
  if (when.massKgOver) line.facts.massKg = when.massKgOver + 0.5
  return {
    line,
    asked: then.what === 'line-of-class' ? asked : then.what === 'matched-line' ? 'gear' : null,
    role: when.what === 'target' ? 'target' : 'comes off',
    paired: when.paired ?? false,
    heldBy: null,
    holds: when.holds?.[0] ?? null,
    machine: machineOf(when),
  }
}

function fires(rule: Rule, bench: Bench): boolean {
  const { asked, role, paired, heldBy, holds, machine } = bench
  const isTogether = rule.then.what === 'line-of-class' && rule.then.within === 'together'
  const held = isTogether ? '4' : holds ? '8' : undefined
  const line = held === undefined ? bench.line : { ...bench.line, attaches: held }
  const lines = [
    line,
    ...(asked ? [aLine('6', asked, { attaches: isTogether ? '4' : '5' })] : []),
    ...(isTogether ? [aLine('4', 'other')] : []),
    ...(holds ? [aLine('8', holds)] : []),
    ...(heldBy ? [aLine('7', heldBy, { attaches: '5' })] : []),
    aLine('9', 'housing'),
  ]
  const positions = TWO_WHEELS.map(({ code, label, pairedWith }) =>
    paired && pairedWith ? { code, label, pairedWith } : { code, label },
  )
  const at = line.facts.stations ? ['7'] : line.facts.ends ? ['LH', 'DE'] : ['LH']
  const input = aJob({
    rules: [rule],
    machine,
    lines,
    positions,
    edges: role === 'comes off' ? [{ first: '5', then: '9' }] : [],
    targets: [
      role === 'target' ? { item: '5', positions: at, quantity: 1 } : { item: '9', positions: at, quantity: 1 },
    ],
  })
  const everyJob = Object.keys(rule.when).length === 1
  if (everyJob) return companionSuggest(role === 'stays on' ? { ...input, targets: [], strip: [] } : input).length > 0
  const found = companionSuggest(input)
  // The part behind it may satisfy a rule that asks for nothing in particular; only reasons that speak of item 5 count.
  return found.some((s) =>
    s.reasons.some((reason) => reason.ruleId === rule.id && reason.found.item?.split('; ').includes('5')),
  )
}

/** One step over each border the rule draws. */
function neighbours(rule: Rule, bench: Bench): [string, Bench][] {
  const { when } = rule
  const changed = (what: string, change: (line: FigureLine) => void): [string, Bench] => {
    const line = structuredClone(bench.line)
    change(line)
    return [what, { ...bench, line }]
  }
  const out: [string, Bench][] = [['it stays on the machine', { ...bench, role: 'stays on' }]]
  if (when.what === 'target') out.push(['it only comes off', { ...bench, role: 'comes off' }])
  if (when.partClass) out.push(changed('another class', (line) => Object.assign(line, { partClass: 'other' })))
  for (const partClass of when.notClass ?? [])
    out.push(changed(`class ${partClass}`, (line) => Object.assign(line, { partClass })))
  if (when.joint) out.push(changed('another joint', (line) => Object.assign(line.facts, { joint: [] })))
  if (when.safetyJoint && classSafetyJoint(bench.line.partClass) === undefined)
    out.push(changed('no safety joint', (line) => Object.assign(line.facts, { safetyJoint: undefined })))
  if (when.paired) out.push(['no pair', { ...bench, paired: false }])
  for (const fact of when.has ?? []) {
    out.push(
      changed(`no ${fact}`, (line) => {
        Object.assign(line.facts, { [fact]: undefined })
        Object.assign(line.partFacts, { [fact]: undefined })
      }),
    )
  }
  if (when.torqueState)
    for (const torqueState of ['dry', 'oiled', 'anti-seize', 'thread-lock'] as const)
      if (!when.torqueState.includes(torqueState))
        out.push(changed(`torque for ${torqueState}`, (line) => Object.assign(line.facts, { torqueState })))
  const { over, upTo } = when.threadMm ?? {}
  if (over !== undefined) out.push(changed(`M${over}`, (line) => Object.assign(line.facts, { thread: `M${over}` })))
  if (upTo !== undefined)
    out.push(changed(`M${upTo + 1}`, (line) => Object.assign(line.facts, { thread: `M${upTo + 1}` })))
  if (when.piecesMin !== undefined)
    out.push(changed('a piece less', (line) => Object.assign(line, { quantity: when.piecesMin! - 1 })))
  if (when.massKgOver !== undefined)
    out.push(changed('as light as the limit', (line) => Object.assign(line.facts, { massKg: when.massKgOver })))
  for (const joint of when.notJoint ?? [])
    out.push(
      changed(`at a joint ${joint}`, (line) =>
        Object.assign(line.facts, { joint: [...(line.facts.joint ?? []), joint] }),
      ),
    )
  if (when.holds)
    out.push(['it holds another class', { ...bench, holds: 'other' }], ['it holds nothing', { ...bench, holds: null }])
  if (when.fluid)
    for (const fluid of [...FLUIDS.filter((one) => !when.fluid!.includes(one)), undefined])
      out.push(changed(`${fluid ?? 'nobody knows what'} runs out`, (line) => Object.assign(line.facts, { fluid })))
  for (const heldBy of when.notHeldBy ?? []) out.push([`held by ${heldBy}`, { ...bench, heldBy }])
  if (when.fluid)
    for (const fluid of [...FLUIDS.filter((one) => !when.fluid!.includes(one)), undefined])
      out.push(changed(`${fluid ?? 'nobody knows what'} runs out`, (line) => Object.assign(line.facts, { fluid })))
  if (when.has?.includes('ends'))
    out.push(changed('it sits at one end only', (line) => Object.assign(line.facts, { ends: ['DE'] })))
  for (const fluid of when.notFluid ?? []) out.push(changed(fluid, (line) => Object.assign(line.facts, { fluid })))
  const on = (what: string, machine: Partial<MachineNow>) =>
    out.push([what, { ...bench, machine: { ...bench.machine, ...machine } }])
  if (when.model) on('another model', { model: 'Another' })
  if (when.age?.years !== undefined) on('made a year later', { year: 2026 - when.age.years })
  if (when.age) on('an age nobody knows', { year: null, hourTenths: null })
  if (when.age?.hours !== undefined) on('a tenth of an hour less', { year: null, hourTenths: when.age.hours * 10 - 1 })
  if (when.season) {
    on('the month before the season', inMonth(((when.season.from + 10) % 12) + 1))
    on('the month after the season', inMonth((when.season.to % 12) + 1))
  }
  if (bench.asked) out.push(['the figure has none of what is asked for', { ...bench, asked: null }])
  return out
}

describe('the rules the workshop starts with', () => {
  test('there are more than forty, ids are unique, each names a source or says that it has none', () => {
    expect(RULES.length).toBeGreaterThan(40)
    for (const rule of RULES) expect(rule.source, rule.id).not.toMatch(/^(unknown|-|\?|n\/a)/i)
    expect(new Set(RULES.map((rule) => rule.id)).size).toBe(RULES.length)
  })

  test('a rule that gives way to others names rules that exist and give way to none', () => {
    const giving = RULES.filter((rule) => rule.when.unless)
    expect(giving.length).toBeGreaterThan(0)
    for (const id of giving.flatMap((rule) => rule.when.unless!)) {
      const better = RULES.find((rule) => rule.id === id)
      expect(better, id).toBeDefined()
      expect(better?.when.unless, id).toBeUndefined()
    }
  })

  for (const rule of RULES) {
    test(`${rule.id}: ${rule.words}`, () => {
      for (const partClass of rule.when.partClass ?? ['housing' as const]) {
        for (const asked of rule.then.what === 'line-of-class' ? rule.then.partClass : [null]) {
          const bench = benchOf(rule, partClass, asked)
          expect(fires(rule, bench), `does not apply to ${partClass}`).toBe(true)
          for (const [what, neighbour] of neighbours(rule, bench))
            expect(fires(rule, neighbour), `applies although: ${what}`).toBe(false)
        }
      }
    })
  }
})

describe('a rule is checked before it is kept', () => {
  const good = {
    id: 'test-rule',
    words: 'Item {item} is looked at.',
    family: 'check',
    source: 'common practice, no source',
    strength: 'should',
    when: { what: 'disturbed', partClass: ['hub'] },
    then: { what: 'act', perLine: true },
  }
  const refused = (input: unknown): string => {
    try {
      ruleParse(input)
    } catch (error) {
      if (isRefusal(error) && error.code === 'companion/bad-rule') return error.happened
      throw error
    }
    return ''
  }

  test('a complete rule passes as it is', () => {
    expect(ruleParse(good)).toEqual(good)
  })

  test.each([
    ['an unknown class', { when: { what: 'disturbed', partClass: ['flux-capacitor'] } }],
    ['an unknown word in it', { surprise: true }],
    ['words that fill in a torque nobody asked for', { words: 'Item {item} to {torqueNm} N m.' }],
    ['words that fill in what does not exist', { words: 'Item {item} in {colour}.' }],
    ['an act that names one line but is shown once', { then: { what: 'act' } }],
    [
      'a pair for what only comes off',
      { then: { what: 'same-part-at-paired-position' }, words: 'The other side as well.' },
    ],
    ['an opposite without stations', { when: { what: 'target' }, then: { what: 'opposite-station' } }],
    ['the other end of what has none', { when: { what: 'target' }, then: { what: 'same-part-at-other-end' } }],
    ['a target that is to be renewed again', { when: { what: 'target' }, then: { what: 'same-line' } }],
    [
      'a torque note without the state it is stated for',
      { when: { what: 'disturbed', has: ['torqueNm'] }, then: { what: 'torque-note', treatment: 'oiled' } },
    ],
    ['a consumable without amount', { then: { what: 'consumable', partClass: ['grease'] } }],
    [
      'a consumable with amount and formula',
      {
        when: { what: 'disturbed', has: ['fillLitres'] },
        then: { what: 'consumable', partClass: ['gear-oil'], formula: 'fill', amount: { litre: 1 } },
      },
    ],
    [
      'grease by size without the size',
      { then: { what: 'consumable', partClass: ['grease'], formula: 'bearing-grease' } },
    ],
    ['no source', { source: '' }],
  ])('%s is refused, and the rule is named', (_, change) => {
    expect(refused({ ...good, ...change })).toContain('test-rule')
  })

  test('two rules with one id are refused', () => {
    expect(() => rulesParse([good, good])).toThrow(/another rule has this id/)
    expect(refused('no rule at all')).toContain('(no id)')
  })
})
