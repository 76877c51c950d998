import type { PartClass } from '../../lib/catalogue/part-class.ts'
import { CONSUMABLE_CLASSES } from '../../lib/catalogue/part-class.ts'
import { RULES } from '../../lib/companion/rules/index.ts'
import { companionSuggest, type PartOnFile } from '../../lib/companion/suggest.ts'
import type { LineFacts, PartFacts } from '../../lib/figure/schema.ts'
import { stripPlan } from '../../lib/figure/strip-order.ts'
import { jobPlan } from '../../lib/job/plan.ts'
import type { PlanFigure, PlanLine, PlanTarget } from '../../lib/job/plan-figure.ts'
import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { timeEach } from './clock.ts'
import { spread } from './measure.ts'
import type { Measured } from './report.ts'

/** The size that the bar is set for. */
const LINES = 200
const TARGETS = 10
const SHELF = 2_000
const BAR_MS = 20
const WARM = 10

/** A wheel end, from the wheel inwards: what each line is, its facts, and the line of the same wheel end that it holds. */
const WHEEL_END: readonly {
  partClass: PartClass
  quantity?: number
  facts?: LineFacts
  part?: PartFacts
  holds?: number
}[] = [
  { partClass: 'wheel-nut', quantity: 6, facts: { thread: 'M18x1.5', torqueNm: 270, torqueState: 'dry' }, holds: 1 },
  { partClass: 'wheel', facts: { joint: ['wheel-face'], massKg: 48 } },
  { partClass: 'cap', facts: { joint: ['gasket-face'] } },
  { partClass: 'split-pin', part: { splitPinMm: 5, lengthMm: 50 }, holds: 4 },
  { partClass: 'castle-nut', facts: { thread: 'M24x2', splitPinHoleMm: 5, safetyJoint: 'brake' } },
  { partClass: 'washer' },
  { partClass: 'bearing', part: { outsideMm: 62, widthMm: 17, boreMm: 30 }, facts: { joint: ['bearing-fill'] } },
  { partClass: 'brake-drum', facts: { joint: ['brake-contact', 'hub-spigot'], safetyJoint: 'brake', massKg: 22 } },
  { partClass: 'hub', facts: { massKg: 14 } },
  { partClass: 'bearing', part: { outsideMm: 80, widthMm: 21, boreMm: 40 }, facts: { joint: ['bearing-fill'] } },
  { partClass: 'oil-seal', facts: { joint: ['shaft-fit'], safetyJoint: 'brake' } },
  { partClass: 'hold-down-spring', quantity: 2, facts: { safetyJoint: 'brake' }, holds: 13 },
  { partClass: 'return-spring', quantity: 2, facts: { safetyJoint: 'brake' }, holds: 13 },
  { partClass: 'brake-shoe', quantity: 2, facts: { joint: ['brake-contact'], safetyJoint: 'brake' } },
  { partClass: 'circlip', holds: 15 },
  { partClass: 'pin', quantity: 2, facts: { joint: ['pivot'] } },
  { partClass: 'lever', facts: { joint: ['shaft-fit', 'pivot'] } },
  {
    partClass: 'prevailing-torque-nut',
    quantity: 4,
    facts: { thread: 'M12', torqueNm: 85, torqueState: 'dry', safetyJoint: 'brake' },
  },
  {
    partClass: 'bolt',
    quantity: 4,
    facts: { thread: 'M12', joint: ['threads-that-shake'], safetyJoint: 'brake' },
    holds: 19,
  },
  { partClass: 'brake-backplate', facts: { safetyJoint: 'brake', massKg: 6 } },
]

interface Book {
  figure: PlanFigure
  targets: PlanTarget[]
  shelf: PartOnFile[]
}

/** One figure of `lines` callouts, wheel end beside wheel end down an axle carriage, and `count` targets deep inside them. */
function bookMake(lines: number, count: number): Book {
  const random = randomSeeded('bench companions')
  const made: PlanLine[] = []
  const strip: PlanFigure['strip'] = []
  for (let at = 0; at < lines; at++) {
    const place = at % WHEEL_END.length
    const first = at - place
    const { partClass, quantity = 1, facts = {}, part = {}, holds } = WHEEL_END[place]!
    const attached = holds === undefined || first + holds >= lines ? {} : { attaches: String(first + holds + 1) }
    made.push({
      lineId: at + 1,
      item: String(at + 1),
      partId: at + 1,
      partNumber: `BC-${1000 + at}`,
      description: partClass.replaceAll('-', ' '),
      quantity,
      unit: 'each',
      partClass,
      facts,
      partFacts: part,
      ...attached,
    })
    if (place > 0) strip.push({ first: String(at), then: String(at + 1) })
  }
  const innermost = made.filter((_, at) => at % WHEEL_END.length >= WHEEL_END.length / 2)
  const renewed = new Map<string, PlanTarget>()
  while (renewed.size < Math.min(count, innermost.length)) {
    const { item, quantity } = randomPick(random, innermost)
    const positions = randomPick(random, [['LH'], ['RH'], ['LH', 'RH']])
    renewed.set(item, { figureId: 1, item, positions, quantity: quantity * positions.length })
  }
  const classes = [...CONSUMABLE_CLASSES]
  const shelf = Array.from({ length: SHELF }, (_, at): PartOnFile => {
    const partClass = classes[at % classes.length]!
    const diameter = randomPick(random, [1.6, 2, 2.5, 3.2, 4, 5, 6.3, 8])
    return {
      partId: 10_000 + at,
      partNumber: `BS-${at}`,
      description: partClass,
      partClass,
      unit: partClass === 'grease' ? 'kilogram' : 'each',
      partFacts: partClass === 'split-pin' ? { splitPinMm: diameter, lengthMm: randomInteger(random, 10, 90) } : {},
    }
  })
  const positions = [
    { code: 'LH', label: 'left', pairedWith: 'RH' },
    { code: 'RH', label: 'right' },
  ]
  const figure = { id: 1, number: '1', title: 'Axles', positions, lines: made, absentItems: [], strip, tests: [] }
  return { figure, targets: [...renewed.values()], shelf }
}

/** What a job on the largest figure is asked for, by the shipped rules; then the whole plan of the job with its strip order. */
export async function companionsMeasure(rounds: number): Promise<Measured[]> {
  const { figure, targets, shelf } = bookMake(LINES, TARGETS)
  const order = stripPlan({ edges: figure.strip, lines: figure.lines, targets: targets.map(({ item }) => item) })
  const suggest = () =>
    companionSuggest({
      targets,
      lines: figure.lines,
      positions: figure.positions,
      strip: order.steps,
      rules: RULES,
      shelf,
    })
  const asked = suggest()
  if (asked.length < TARGETS) throw new Error(`only ${asked.length} suggestions: this figure measures nothing`)
  const job = () => jobPlan({ figures: [figure], targets, rules: RULES, shelf })
  const of = `${LINES} callouts, ${TARGETS} targets`
  const suggested = await timeEach(rounds + WARM, async () => suggest())
  const planned = await timeEach(rounds + WARM, async () => job())
  return [
    ...spread(`companions, ${of}, ${asked.length} suggestions`, suggested.slice(WARM), BAR_MS),
    ...spread(`plan of the job, ${of}`, planned.slice(WARM), null),
  ]
}
