import { stringify } from 'csv-stringify/sync'
import { INSTALLED_BASE, installedBase } from '../demand/installed-base.ts'
import { type Method, USUAL_METHODS } from '../demand/method.ts'
import { LEVELS_COLUMNS, type LevelsDefaults, levelsRead } from '../replenish/levels-file.ts'
import { type OrderFacts, type PartLevel, partLevel } from '../replenish/part-level.ts'
import { type Answer, EXIT } from './answer.ts'
import { faultsInOrder, faultsSay, NO_ROW, periodsSay, ROWS_HELP, recordsRead, type SeriesSaid } from './series.ts'

export interface LevelsOptions {
  json?: boolean
  shop?: boolean
  run?: string
  lead?: string
  review: string
  target: string
  targetKind: string
  method: string
  orderCost: string
  holding: string
  periodsPerYear: string
}

const METHODS: readonly Method[] = [INSTALLED_BASE, ...USUAL_METHODS]

/** What --target-kind says of fill and cycle. */
export const TARGET_KIND_SAYS =
  'pieces served at once, or looks at the shelf after which nobody waits until the order of the next has come'

export const LEVELS_HELP = `
${ROWS_HELP}
exposure (pieces running times hours in the period) stands in every row of the id or in none. These may stand in the first row of
an id, or in all: class (parts of a class learn from each other), lead_time, lead_time_sd, review (periods), target (0.95),
target_kind (fill, cycle), price (of a piece; cost is the same), pack,
minimum, job (pieces that one job takes), set (taken in sets of so many: 2 for what is renewed in pairs; levels are whole sets, and
what is taken, and a job, is too). Without a price nothing says how many to order at a time: it is the smallest order.
Aims: fill is the share of pieces served at once. cycle, with a review, is the share of looks at the shelf after which nobody waits
until the order of the next look has come, whether or not one is raised; without one, of deliveries before which nobody waits.
cycle_service says what is expected of it. delivery_service is the share of deliveries in either case: with a review only looks count
before which something was taken, so of what is seldom asked for it is less. It holds where the position had been one above the reorder
point, as it always is where single pieces or sets are ordered, and is empty where nothing is wanted.
Without --json the answer is CSV: id, reorder_point, order_up_to, order_quantity, expected_fill, cycle_service, delivery_service,
safety_stock, reason.
Bad rows: each with row, column and reason on the standard error, nothing is answered, exit code 2.
`

interface Asked {
  defaults: LevelsDefaults
  order: OrderFacts
  method: Method
}

/** What the options say; a sentence where one of them cannot be meant. */
export function levelsAsked(options: LevelsOptions): Asked | string {
  const wrong: string[] = []
  const number = (name: string, text: string, fits: (value: number) => boolean, says: string): number => {
    const value = /^\d+(\.\d+)?$/.test(text) ? Number(text) : Number.NaN
    if (!fits(value)) wrong.push(`--${name} ${text} is not ${says}.`)
    return value
  }
  const method = METHODS.find((one) => one.name === options.method)
  if (!method) wrong.push(`--method ${options.method} is none of ${METHODS.map((one) => one.name).join(', ')}.`)
  const { targetKind } = options
  if (targetKind !== 'fill' && targetKind !== 'cycle')
    wrong.push(`--target-kind ${targetKind} is neither fill nor cycle.`)
  const from0 = (value: number) => value >= 0
  const asked = {
    defaults: {
      leadTime: options.lead === undefined ? null : number('lead', options.lead, from0, 'a number of periods'),
      review: number('review', options.review, from0, 'a number of periods'),
      target: number('target', options.target, (value) => value > 0 && value < 1, 'a share between 0 and 1'),
      targetKind: targetKind === 'cycle' ? targetKind : 'fill',
    },
    order: {
      orderCost: number('order-cost', options.orderCost, from0, 'an amount of money'),
      holdingRate: number('holding', options.holding, from0, 'a share of the price a year, such as 0.2'),
      periodsPerYear: number('periods-per-year', options.periodsPerYear, (value) => value > 0, 'a number above 0'),
      longestYears: 2,
    },
  } satisfies Omit<Asked, 'method'>
  return method && wrong.length === 0 ? { ...asked, method } : wrong.join('\n')
}

const round = (value: number, digits: number) => Number(value.toFixed(digits))

function row({ answer, ...one }: PartLevel) {
  return {
    id: one.id,
    reorder_point: one.reorderPoint,
    order_up_to: one.orderUpTo,
    order_quantity: one.orderQuantity,
    expected_fill: round(one.fillRate, 6),
    cycle_service: round(one.cycleService, 6),
    delivery_service: one.deliveryService === null ? null : round(one.deliveryService, 6),
    safety_stock: round(one.safetyStock, 6),
    reason: one.reason,
  }
}

/**
 * `cotterbook levels CSV`: reorder point and order-up-to level of each part of a file of past demand. No database is needed. Null
 * where rows were bad; they have been said to `say` then.
 */
export async function levelsCommand(
  path: string,
  { defaults, order, method }: Asked,
  said: SeriesSaid,
): Promise<Answer | null> {
  const read = await recordsRead(path, LEVELS_COLUMNS, said)
  if (read === null) return null
  const { parts, periods, faults } = levelsRead(read.records, defaults)
  const all = faultsInOrder(read.faults, faults)
  if (all.length > 0) return faultsSay(all, said)
  if (parts.length === 0 || periods === null) return faultsSay([NO_ROW], said)
  periodsSay(periods, said)
  const base = method === INSTALLED_BASE ? installedBase(parts) : null
  const outlooks = base?.outlooks ?? method.outlooks(parts)
  const levels = parts.map((part, at) => {
    const rate = base?.rates[at]
    return partLevel(part, outlooks[at]!, order, rate?.isNew ? rate.learnedFrom : null)
  })
  return {
    status: EXIT.fine,
    json: {
      method: method.name,
      periods,
      levels: levels.map((one) => ({ ...row(one), steps: one.answer.steps })),
    },
    text: stringify(levels.map(row), { header: true, columns: COLUMNS }).trimEnd(),
  }
}

const COLUMNS = [
  'id',
  'reorder_point',
  'order_up_to',
  'order_quantity',
  'expected_fill',
  'cycle_service',
  'delivery_service',
  'safety_stock',
  'reason',
]

/** What --run says: the number of a reckoning that the screen wrote down; null where that is no number. */
export function runAsked(text: string): number | null {
  return /^[1-9]\d{0,8}$/.test(text) ? Number(text) : null
}
