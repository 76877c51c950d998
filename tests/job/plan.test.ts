import { beforeAll, describe, expect, test } from 'vitest'
import { RULES } from '../../lib/companion/rules/index.ts'
import { FigureFile } from '../../lib/figure/schema.ts'
import { jobPlan } from '../../lib/job/plan.ts'
import type { PlanFigure } from '../../lib/job/plan-figure.ts'
import { fitSays, type Renewed, renewedOf } from '../../lib/job/renewed.ts'
import { stepIsShared, stepKeyRead, stepsLeftSay } from '../../lib/job/step-key.ts'
import { pageDrawn } from '../../seed/figures/index.ts'

let hub: PlanFigure
beforeAll(() => {
  const file = FigureFile.parse(pageDrawn('trailer-hub-brake').file)
  hub = {
    id: 5,
    number: file.number,
    title: file.title,
    positions: file.positions,
    // As a machine built before the serial break of the oil seal has it.
    lines: file.lines
      .filter((line) => line.serialFrom === undefined)
      .map((line, at) => ({
        lineId: 200 + at,
        item: line.item,
        partId: 300 + at,
        partNumber: line.partNumber ?? '',
        description: line.description,
        quantity: line.quantity,
        unit: line.unit,
        partClass: line.partClass,
        facts: line.facts,
        partFacts: line.partFacts,
        ...(line.attaches === undefined ? {} : { attaches: line.attaches }),
        ...(line.side === undefined ? {} : { side: line.side }),
      })),
    absentItems: [],
    strip: file.stripOrder,
    tests: file.tests,
  }
})

const planFor = (...items: string[]) =>
  jobPlan({
    figures: [hub],
    targets: items.map((item) => ({ figureId: 5, item, positions: ['LH'], quantity: item === '5' ? 2 : 1 })),
    rules: RULES,
    shelf: [],
  })
/** The parts in their order, without what is done around them. */
const itemsOf = (steps: { key: string }[]) =>
  steps.flatMap(({ key }) => {
    const at = stepKeyRead(key)
    return at && at.around === null ? [at.item] : []
  })
const comesBefore = (order: (string | undefined)[], first: string, then: string) =>
  order.includes(first) && order.indexOf(first) < order.indexOf(then)

describe('new shoes for the left wheel of the trailer', () => {
  test('wheel nuts before drum, drum before springs, springs before shoes; the hub stays on', () => {
    const order = itemsOf(planFor('5').strip)
    expect(order).toEqual(['15', '14', '6', '7', '8', '5'])
  })

  test('a seal that is renewed as well comes off behind the hub, and has its step on the way back', () => {
    const seal: Renewed = { figureId: 5, item: '10', partNumber: 'DM60231', positions: ['LH'], quantity: 1 }
    const shoes = { figureId: 5, item: '5', positions: ['LH'], quantity: 2 }
    const plan = jobPlan({ figures: [hub], targets: [shoes], rules: RULES, shelf: [], renewed: [seal] })
    const order = itemsOf(plan.strip)
    expect(comesBefore(order, '12', '10')).toBe(true)
    expect(plan.rebuild.map((step) => step.text)).toContainEqual(expect.stringMatching(/^Fit new 10 Oil seal.*DM60231/))
    // What the seal's way opens is asked for too: the castle nut takes a new split pin.
    expect(plan.suggestions.map((one) => one.item)).toContain('19')
    expect(itemsOf(planFor('5').strip)).not.toContain('10')
  })

  test('the rebuild is the strip-down the other way round, whatever is aimed at', () => {
    for (const line of hub.lines) {
      const plan = planFor(line.item)
      expect(itemsOf(plan.rebuild)).toEqual(itemsOf(plan.strip).reverse())
      expect(new Set(itemsOf(plan.strip)).size).toBe(itemsOf(plan.strip).length)
      // The target last off and first on; behind it only what it sets free, and what moves from the old hub to the new one.
      const behind: Record<string, string[]> = { '10': ['11'], '12': ['10', '11', '13'] }
      const order = itemsOf(plan.strip)
      expect(order.slice(order.indexOf(line.item) + 1)).toEqual(behind[line.item] ?? [])
    }
  })

  // Order of the trade: common practice, no source.
  test('the wheel comes off with its nuts, and the star wheel is slackened before the drum is drawn', () => {
    const { strip, rebuild } = planFor('5')
    expect(strip.slice(0, 5).map((step) => step.text)).toEqual([
      expect.stringMatching(/^Crack the wheel nuts loose while the tyre still stands.*stands \(LH\)$/),
      expect.stringMatching(/^Take off 15 Wheel nut/),
      'Take the wheel off (LH)',
      expect.stringMatching(/slacken the star wheel \(9\)/),
      expect.stringMatching(/^Take off 14 Brake drum/),
    ])
    expect(rebuild.slice(-4).map((step) => step.text)).toEqual([
      expect.stringMatching(/^Fit 14 Brake drum/),
      expect.stringMatching(/^Set the star wheel \(9\)/),
      expect.stringMatching(/^Put the wheel on/),
      expect.stringMatching(/^Fit 15 Wheel nut/),
    ])
    expect(new Set(strip.map((step) => step.key)).size).toBe(strip.length)
  })

  test('no step comes before one that must go first, whatever is aimed at', () => {
    for (const line of hub.lines) {
      const order = itemsOf(planFor(line.item).strip)
      for (const { first, then } of hub.strip)
        if (order.includes(then)) expect(comesBefore(order, first, then)).toBe(true)
    }
  })

  test('the steps say what is new, on which side, and the torque of the figure with the state of the thread', () => {
    const { rebuild } = planFor('5')
    expect(rebuild[0]!.text).toBe('Fit new 5 Brake shoe with lining, DM60130 (LH)')
    expect(rebuild.at(-1)!.text).toBe('Fit 15 Wheel nut, M18 x 1.5, coned (LH) - 270 N m, dry threads')
  })

  test('the shoes of the other wheel are a must, since shoes are renewed on the whole axle', () => {
    // common practice, no source (handbook, section E)
    const pair = planFor('5').suggestions.find((one) => one.item === '5')
    expect(pair).toMatchObject({
      strength: 'must',
      positions: ['RH'],
      quantity: 2,
      jobKey: expect.stringMatching(/^5:/),
    })
  })

  test('the tests before release are those of the figure, each under a key of its own', () => {
    const { tests } = planFor('5')
    const words = hub.tests.map((test) => (typeof test === 'string' ? test : `${test.text} (LH)`))
    expect(tests.map((one) => one.text)).toEqual(words)
    expect(tests.filter((one) => one.measure).map((one) => one.measure!.what)).toEqual(['Lining thickness'])
    expect(new Set(tests.map((one) => one.key)).size).toBe(hub.tests.length)
  })
})

describe('the rebuild tells what is renewed from what goes back', () => {
  const rebuildOf = (
    target: { item: string; positions: string[]; quantity: number; partNumber?: string },
    renewed: Renewed[] = [],
    alsoStripped: ReadonlyMap<number, string[]> = new Map(),
  ) => {
    const targets = [{ figureId: 5, ...target }]
    return jobPlan({ figures: [hub], targets, rules: RULES, shelf: [], renewed, alsoStripped }).rebuild.map(
      (step) => step.text,
    )
  }
  const seal = { item: '10', positions: ['LH'], quantity: 1 }
  const pin = { figureId: 5, item: '19', partNumber: 'PN-6350', positions: ['LH'], quantity: 1 }

  test('a split pin that was agreed to is fitted new with the number that goes in; without it the old one would go back', () => {
    expect(rebuildOf(seal)).toContain('Fit 19 Split pin, 6.3 x 50 (LH)')
    expect(rebuildOf(seal, [pin])).toContain('Fit new 19 Split pin, 6.3 x 50, PN-6350 (LH)')
    expect(rebuildOf(seal, [{ ...pin, figureId: 6 }])).toContain('Fit 19 Split pin, 6.3 x 50 (LH)')
  })

  test('a target carries the part that was chosen in its place', () => {
    expect(rebuildOf({ ...seal, partNumber: 'DM60299' })).toContain('Fit new 10 Oil seal, 65 x 95 x 10, DM60299 (LH)')
  })

  test('with both wheels open, one side may be renewed and the other put back', () => {
    const both = new Map([[5, ['RH']]])
    const pinsIn = (renewed: Renewed[]) => rebuildOf(seal, renewed, both).filter((text) => text.includes(' 19 '))
    expect(pinsIn([pin])).toEqual(['Fit new 19 Split pin, 6.3 x 50, PN-6350 (LH)', 'Fit 19 Split pin, 6.3 x 50 (RH)'])
    const [left, right] = pinsIn([pin, { ...pin, positions: ['RH'] }])
    expect([left, right]).toEqual([
      'Fit new 19 Split pin, 6.3 x 50, PN-6350 (LH)',
      'Fit new 19 Split pin, 6.3 x 50, PN-6350 (RH)',
    ])
    // One line for both sides is shared between them.
    expect(pinsIn([{ ...pin, positions: ['LH', 'RH'], quantity: 2 }])).toEqual([left, right])
  })

  test('one shoe of two is one of two', () => {
    expect(rebuildOf({ item: '5', positions: ['LH'], quantity: 1 })[0]).toBe(
      'Fit new 5 Brake shoe with lining, DM60130 (LH), 1 of 2; put the others back',
    )
    // Three over two wheels: nobody said which wheel keeps an old one.
    const shoes = rebuildOf({ item: '5', positions: ['LH', 'RH'], quantity: 3 }).filter((text) => text.includes(' 5 '))
    expect(shoes).toEqual([
      'Fit new 5 Brake shoe with lining, DM60130 (LH), 1 or 2 of 2; put the others back',
      'Fit new 5 Brake shoe with lining, DM60130 (RH), 1 or 2 of 2; put the others back',
    ])
  })

  test('knives of a rotor are named by their stations', () => {
    const knife = { ...hub.lines[0]!, item: '2', description: 'Flail knife', quantity: 16, facts: { stations: 16 } }
    const fresh = { figureId: 5, item: '2', partNumber: 'ST40.172', quantity: 2 }
    expect(fitSays(knife, [], [{ ...fresh, positions: ['5', '13'] }])).toBe(
      'Fit new 2 Flail knife, ST40.172 (5, 13); put the others back',
    )
    const all = Array.from({ length: 16 }, (_, at) => String(at + 1))
    expect(fitSays(knife, [], [{ ...fresh, positions: all, quantity: 16 }])).toBe('Fit new 2 Flail knife, ST40.172')
  })

  test('grease for a bearing does not make the bearing new', () => {
    const need = {
      id: 1,
      origin: 'suggestion',
      state: 'accepted',
      key: '5:x',
      item: '16',
      positions: '["LH"]',
      wanted: 20,
    }
    const part = { number: 'GR-120' }
    expect(renewedOf([{ ...need, kind: 'consumable', part }])).toEqual([])
    expect(renewedOf([{ ...need, kind: 'part', state: 'open', part }])).toEqual([])
    expect(renewedOf([{ ...need, kind: 'part', part }])).toEqual([
      { figureId: 5, item: '16', partNumber: 'GR-120', positions: ['LH'], quantity: 20 },
    ])
    // An approved alternative stands beside the line it is used for.
    const standIn = { ...need, id: 2, origin: 'by-hand', key: 'by-hand:alternative:1:77', kind: 'part', part }
    expect(renewedOf([{ ...need, kind: 'part', part: null }, standIn])).toMatchObject([{ figureId: 5, item: '16' }])
  })
})

describe('both wheels on one job', () => {
  const targets = [
    { figureId: 5, item: '5', positions: ['LH', 'RH'], quantity: 4 },
    { figureId: 5, item: '10', positions: ['RH'], quantity: 1 },
  ]
  const plan = () => jobPlan({ figures: [hub], targets, rules: RULES, shelf: [] })
  const atSide = (steps: { key: string }[], side: string) =>
    itemsOf(steps.filter((step) => stepKeyRead(step.key)?.side === side))

  test('each has its own steps, in the order as if it were alone, one wheel after the other', () => {
    const { strip, rebuild } = plan()
    expect(new Set(strip.map((step) => step.key)).size).toBe(strip.length)
    const right = (item: string) =>
      jobPlan({
        figures: [hub],
        targets: [{ figureId: 5, item, positions: ['RH'], quantity: 1 }],
        rules: [],
        shelf: [],
      })
    expect(atSide(strip, 'LH')).toEqual(itemsOf(planFor('5').strip))
    // The seal is renewed at the right wheel only: the left hub stays on.
    expect(new Set(atSide(strip, 'RH'))).toEqual(new Set([...itemsOf(right('5').strip), ...itemsOf(right('10').strip)]))
    expect(itemsOf(strip)).toEqual([...atSide(strip, 'LH'), ...atSide(strip, 'RH')])
    for (const side of ['LH', 'RH']) expect(atSide(rebuild, side)).toEqual(atSide(strip, side).reverse())
    for (const step of strip) expect(step.text).toContain(`(${stepKeyRead(step.key)!.side ?? 'LH, RH'})`)
    expect(strip.filter((step) => stepIsShared(step.key)).map((step) => step.key)).toEqual([strip[0]!.key])
  })

  test('a pair that was agreed to opens its own side as far as it is needed, and no further', () => {
    const seal = { figureId: 5, item: '10', positions: ['LH'], quantity: 1 }
    const { strip } = jobPlan({
      figures: [hub],
      targets: [seal, { figureId: 5, item: '5', positions: ['LH'], quantity: 2 }],
      rules: [],
      shelf: [],
      alsoStripped: new Map([[5, ['RH']]]),
      pairsOpened: new Map([[5, [{ item: '5', side: 'RH' }]]]),
    })
    expect(atSide(strip, 'RH')).toEqual(itemsOf(planFor('5').strip))
    expect(atSide(strip, 'LH')).toContain('10')
  })

  test('what is left is told side by side', () => {
    const steps = plan().strip.map(({ key }) => ({ key, state: key.endsWith('@RH') ? 'open' : 'done' }))
    const count = (side: string) => steps.filter((step) => step.key.endsWith(`@${side}`)).length
    expect(stepsLeftSay(steps)).toBe(`shared 0 of 1, LH 0 of ${count('LH')}, RH ${count('RH')} of ${count('RH')}`)
    expect(stepsLeftSay([{ key: '5:14', state: 'open' }])).toBe('1 of 1')
  })
})

describe('what follows after the first loaded run', () => {
  // BS AU 50 Part 2 (from memory): wheel nuts are gone over again after the machine has run.
  test('is the wheel nuts again, once they were off, and neither a suggestion nor a test before release', () => {
    const plan = planFor('5')
    expect(plan.afterRun).toEqual([
      { key: '5:act:wheel-nut-recheck', text: expect.stringMatching(/^Wheel nuts again .*\(LH\)$/) },
    ])
    expect(plan.suggestions.filter((one) => one.afterRun || /again after/.test(one.description))).toEqual([])
    expect(plan.tests.filter((one) => /again/.test(one.text))).toEqual([])
  })

  test('is nothing where the wheel stays on', () => {
    expect(planFor('20').afterRun).toEqual([])
  })
})

describe('the oil seal of the left hub', () => {
  test('takes the hub off as well: dust cap, split pin, castle nut, washer, bearing, hub; the seal before the inner bearing', () => {
    const order = itemsOf(planFor('10').strip)
    const chain = ['20', '19', '18', '17', '16', '12', '10']
    expect(order.filter((item) => chain.includes(item!))).toEqual(chain)
    expect(comesBefore(itemsOf(planFor('11').strip), '10', '11')).toBe(true)
  })

  test('uses up the split pin of the castle nut: a new one is a must', () => {
    // ISO 1234 pins are bent open once; renewed at every strip-down: common practice, no source (handbook, section E)
    const pin = planFor('10').suggestions.find((one) => one.item === '19' && !one.key.endsWith('+other'))
    expect(pin).toMatchObject({ strength: 'must', quantity: 1, positions: ['LH'] })
  })

  test('together with the shoes it is one strip-down: each step once, both targets fitted new', () => {
    const plan = planFor('5', '10')
    expect(new Set(itemsOf(plan.strip)).size).toBe(itemsOf(plan.strip).length)
    const alone = new Set([...itemsOf(planFor('5').strip), ...itemsOf(planFor('10').strip)])
    expect(new Set(itemsOf(plan.strip))).toEqual(alone)
    expect(plan.rebuild.filter((step) => step.text.startsWith('Fit new')).map((step) => step.key)).toEqual([
      '5:10@LH',
      '5:5@LH',
    ])
  })
})

test('a figure that nothing is aimed at adds nothing to the job', () => {
  const none = { strip: [], rebuild: [], tests: [], afterRun: [], suggestions: [], asked: [] }
  expect(jobPlan({ figures: [hub], targets: [], rules: RULES, shelf: [] })).toEqual(none)
})

describe('a job on two figures', () => {
  const twice = () => {
    const other = { ...hub, id: 6, number: '5-05' }
    const target = { item: '5', positions: ['LH'], quantity: 2 }
    const targets = [5, 6].map((figureId) => ({ ...target, figureId }))
    return jobPlan({ figures: [hub, other], targets, rules: RULES, shelf: [] }).suggestions
  }
  const alone = () => planFor('5').suggestions
  const keys = (suggestions: { jobKey: string }[], part: string) =>
    suggestions.filter((one) => one.jobKey.includes(part)).map((one) => one.jobKey)

  test('asks once for what the person wears and for the safe stop, under the figure that came first', () => {
    expect(keys(twice(), 'dust-mask')).toEqual(['5:consumable:dust-mask'])
    expect(keys(twice(), 'key-out')).toEqual(['5:act:key-out'])
    const amount = (all: ReturnType<typeof twice>, key: string) => all.find((one) => one.key === key)!.quantity
    expect(amount(twice(), 'consumable:dust-mask')).toBe(1)
    // Anti-seize and cleaner go on both: amounts by joint and by wheel add up.
    for (const key of ['consumable:anti-seize', 'consumable:brake-paste'])
      expect(amount(twice(), key)).toBe(2 * amount(alone(), key))
  })

  test('asks for the parts of each figure', () => {
    expect(
      keys(twice(), ':part:6:')
        .map((key) => key[0])
        .sort(),
    ).toEqual(['5', '5', '6', '6'])
    expect(twice().filter((one) => one.kind === 'part')).toHaveLength(
      2 * alone().filter((one) => one.kind === 'part').length,
    )
  })
})
