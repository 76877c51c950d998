import { readFile } from 'node:fs/promises'
import { performance } from 'node:perf_hooks'
import { text } from 'node:stream/consumers'
import { counted } from '../measure/counted.ts'
import { moneyFormat } from '../measure/money.ts'
import { quantityFormat } from '../measure/quantity.ts'
import { type PlanAnswer, planAnswer } from '../replenish/plan-answer.ts'
import { type PlanFault, planRead } from '../replenish/plan-read.ts'
import { planSolve } from '../replenish/plan-solve.ts'
import { planWithout, triesOf } from '../replenish/plan-without.ts'
import { highsSolver } from '../solver/highs.ts'
import { type Answer, EXIT } from './answer.ts'
import { jsonFault } from './file-read.ts'

export interface OrderPlanOptions {
  json?: boolean
  shop?: boolean
  run?: string
  timeLimit: string
  gap: string
}

export const ORDER_PLAN_HELP = `
The problem is a JSON file as in docs/order-plan.md: parts with what is free and on order, needs by date, suppliers, offers, kits,
supersessions, alternatives, a budget, lines fixed or forbidden by hand. What is wrong with an item is said and the item left out.
With --shop the problem is this workshop: what jobs and levels want, what is free and on order, offers, and what was set by hand.
Answer: orders with their lines and what each is for, what comes late, what stays open and why, the cost, the limit below which no
plan can be, and what the simple rule (each part from its preferred supplier, as much as is missing) would cost.
Exit code 1 also where an item was left out or a need stays open; the plan is answered all the same.
`

/** What the options say; a sentence where one of them cannot be meant. */
export function orderPlanAsked({ timeLimit, gap }: OrderPlanOptions): { seconds: number; gap: number } | string {
  const [seconds, share] = [Number(timeLimit), Number(gap)]
  if (!(seconds > 0 && seconds <= 3600)) return `--time-limit ${timeLimit} is no number of seconds up to 3600.`
  if (!(share >= 0 && share < 1)) return `--gap ${gap} is no share from 0 to below 1, such as 0.001.`
  return { seconds, gap: share }
}

/** Faults named before the command stops naming them; all of them are in the JSON. */
const FAULTS_SAID = 30

function faultsSay(faults: readonly PlanFault[], say: (line: string) => void): void {
  for (const { at, why, next } of faults.slice(0, FAULTS_SAID)) say(`${at}: ${why}. Next: ${next}`)
  if (faults.length > FAULTS_SAID) say(`and ${faults.length - FAULTS_SAID} more; --json names all of them`)
}

/** `cotterbook order-plan PROBLEM.json`. No database is needed. Null where the file is no problem at all, which has been said then. */
export async function orderPlanCommand(
  path: string,
  { seconds, gap }: { seconds: number; gap: number },
  { json, say }: { json: boolean | undefined; say: (line: string) => void },
): Promise<Answer | null> {
  let problem: unknown
  try {
    problem = JSON.parse(await (path === '-' ? text(process.stdin) : readFile(path, 'utf8')))
  } catch (error) {
    const faults = [
      {
        at: path,
        why: jsonFault(error),
        next: 'Name a JSON file as in docs/order-plan.md.',
      },
    ]
    if (json) say(JSON.stringify({ faults }, null, 2))
    else faultsSay(faults, say)
    return null
  }
  return planAnswered(problem, { seconds, gap }, { json, say })
}

/** Of the time, for what would be without each thing that was said by hand. */
const WITHOUT_SHARE = 0.25

/** The same of a problem that is at hand. */
export async function planAnswered(
  problem: unknown,
  { seconds, gap }: { seconds: number; gap: number },
  { json, say }: { json: boolean | undefined; say: (line: string) => void },
): Promise<Answer | null> {
  const read = planRead(problem)
  if (!read.facts) {
    if (json) say(JSON.stringify({ faults: read.faults }, null, 2))
    else faultsSay(read.faults, say)
    return null
  }
  const solve = await highsSolver()
  const now = () => performance.now() / 1000
  // Where something was said by hand, a part of the time is kept to say what of it keeps needs open.
  const share = triesOf(problem).length > 0 ? 1 - WITHOUT_SHARE : 1
  const solution = planSolve(read.facts, { solve, now, seconds: seconds * share, gap })
  const answer = planAnswer(read, solution)
  const rest = seconds - solution.seconds
  if (answer.unfilled.length > 0 && rest > 0) answer.without = planWithout(problem, { solve, now, seconds: rest, gap })
  if (!json) faultsSay(answer.faults, say)
  const units = new Map(read.facts.parts.map(({ id, unit }) => [id, unit]))
  const show = (part: string | null, quantity: number) => quantityFormat(quantity, units.get(part ?? '') ?? 'each')
  const isWhole = answer.faults.length === 0 && answer.unfilled.length === 0
  return { status: isWhole ? EXIT.fine : EXIT.refused, json: answer, text: said(answer, show) }
}

function said(answer: PlanAnswer, show: (part: string | null, quantity: number) => string): string {
  const money = (minor: number) => moneyFormat(minor, answer.currency)
  const forWhat = ({
    for: what,
  }: PlanAnswer['fromStock'][number] | PlanAnswer['orders'][number]['lines'][number]['pegged'][number]) =>
    Object.entries(what)
      .map(([kind, name]) => `${kind} ${name}`)
      .join(', ') || 'need'
  const orders = answer.orders.flatMap((order) => [
    `${order.supplier}, order on ${order.orderOn} (at the latest ${order.orderBy}), there on ${order.arrives}: goods ${money(order.goodsMinor)}, carriage ${money(order.carriageMinor)}`,
    ...order.lines.map(({ part, kit, quantity, packs, priceMinor, pegged, spare }) => {
      // Of a kit each part is for something else.
      const uses = pegged.map(
        (one) => `${show(one.part, one.quantity)}${part === null ? ` ${one.part}` : ''} for ${forWhat(one)}`,
      )
      const over = spare.map((one) => `${show(one.part, one.quantity)} ${one.part} over`)
      return `  ${part ?? kit}  ${show(part, quantity)} (${counted(packs, 'pack')})  ${money(priceMinor)}  ${[...uses, ...over].join('; ')}`
    }),
  ])
  const { simple } = answer
  const rows = simple.lines.map(
    (one) =>
      `  ${one.what}: ${money(one.savedMinor)} (${one.simple || 'before'} ${money(one.simpleMinor)}, now ${one.plan} ${money(one.planMinor)}): ${one.why}`,
  )
  const proof =
    answer.allFilledFromMinor !== null
      ? `Time ran out before it was known whether all can be filled within the limits: if so, that costs at least ${money(answer.allFilledFromMinor)}. More time may tell (--time-limit).`
      : answer.boundMinor === null
        ? 'Something stays open, so there is no limit to hold it against.'
        : answer.costMinor === answer.boundMinor
          ? answer.unfilled.length === 0
            ? 'No plan costs less.'
            : 'No plan for what can be had costs less.'
          : `No plan costs less than ${money(answer.boundMinor)}: at most ${((answer.gap ?? 0) * 100).toFixed(3)} % could be saved${answer.proven ? '' : '; time ran out before more was proved'}.`
  return [
    ...orders,
    ...(answer.orders.length === 0 ? ['Nothing to order.'] : []),
    ...answer.fromStock.map(
      (one) => `From stock: ${show(one.part, one.quantity)} ${one.given} (${one.says}) for ${forWhat(one)}`,
    ),
    ...answer.late.map(
      (one) =>
        `Late: ${show(one.part, one.quantity)} ${one.part} for ${one.need}, ${counted(one.days, 'day')} after ${one.by}`,
    ),
    ...answer.unfilled.map(
      (one) => `Open: ${show(one.part, one.quantity)} ${one.part} for ${one.need} by ${one.by}: ${one.why}`,
    ),
    ...answer.without.map(
      (one) =>
        `Without ${one.without}: ${one.open === 0 ? 'all is filled' : `${counted(one.open, 'need')} open`}, ${money(one.paidMinor)}`,
    ),
    `Cost ${money(answer.costMinor)}: goods ${money(answer.goodsMinor)}, carriage ${money(answer.carriageMinor)}, lateness ${money(answer.lateMinor)}. ${proof}`,
    simple.breaks.length === 0
      ? `The simple rule costs ${money(simple.costMinor)}; the plan saves ${money(simple.savedMinor)}:`
      : `The simple rule costs ${money(simple.costMinor)} and cannot be ordered so (${simple.breaks.join(', ')}); beside it:`,
    ...rows,
    `${answer.seconds.toFixed(1)} s`,
  ].join('\n')
}
