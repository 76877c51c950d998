import { type Kind as AnyKind, KIND_NAMES } from '../../lib/exchange/columns.ts'
import type { RowOut } from '../../lib/exchange/write.ts'
import { randomSeeded } from '../../lib/maths/random.ts'

/** A count sheet names lines of a workshop that stands: it has no rows of its own. */
export type Kind = Exclude<AnyKind, 'counts'>
export const KINDS_MADE = KIND_NAMES.filter((kind): kind is Kind => kind !== 'counts')

/** Who approves the alternatives of the bench; must be known to the workshop. */
export const APPROVER = 'Wilf'

const NOUNS = [
  'Return spring',
  'Ball bearing',
  'Split pin, 4 x 40',
  'O-ring',
  'Brake shoe',
  'Gasket',
  'V-belt',
  'Grease nipple',
]
const numberOf = (at: number) => `OK-${String(at).padStart(6, '0')}`

/** Two parts of a group of five, the earlier first: ten pairs a group, and no loop whatever they stand for. */
function pairOf(at: number): [before: string, after: string] {
  const pairs = [0, 1, 2, 3].flatMap((one) => [1, 2, 3, 4].filter((two) => two > one).map((two) => [one, two] as const))
  const [before, after] = pairs[at % 10]!
  const first = Math.floor(at / 10) * 5
  return [numberOf(first + before), numberOf(first + after)]
}

/**
 * So many rows of a kind, as an estate's lists have them: every part has a number of its own, makers and stores come again.
 * The second issue of a list names the same things and says something else of most of them.
 */
export async function* rowsOf(kind: Kind, count: number, issue: 1 | 2 = 1): AsyncGenerator<RowOut> {
  const random = randomSeeded(`exchange ${kind} ${issue}`)
  const some = (most: number) => Math.floor(random() * most)
  for (let at = 0; at < count; at++) {
    const description = `${NOUNS[some(NOUNS.length)]!}, size ${some(400)}`
    const [before, after] = pairOf(at)
    yield rowOf(kind, { at, number: numberOf(at), description, before, after, some, issue })
  }
}

interface Drawn {
  at: number
  number: string
  description: string
  before: string
  after: string
  some: (most: number) => number
  issue: 1 | 2
}

function rowOf(kind: Kind, { at, number, description, before, after, some, issue }: Drawn): RowOut {
  switch (kind) {
    case 'parts':
      return {
        maker: 'Oakmoor',
        number,
        description,
        cost: `${some(900)}.${some(90) + 10}`,
        reorder_point: `${some(9)}`,
        order_up_to: `${10 + some(30)}`,
      }
    case 'parts-lists':
      return {
        model_maker: 'Tarn',
        model: `X${at % 200}`,
        figure: `${1 + (Math.floor(at / 200) % 20)}`,
        item: `${1 + Math.floor(at / 4000)}`,
        maker: 'Oakmoor',
        number,
        description,
        quantity: `${1 + some(8)}`,
      }
    case 'stock':
      return { store: 'Long barn', bin: `B${at % 997}`, number, quantity: `${1 + some(50)}` }
    case 'suppliers':
      return {
        supplier: `Harl ${1 + (at % 40)}`,
        lead_time_days: `${3 + (at % 40)}`,
        number,
        supplier_number: `H${1_000_000 + at}`,
        price: `${some(900)}.${some(90) + 10}`,
      }
    case 'prices':
      return {
        supplier: `Harl ${1 + (at % 40)}`,
        list: 'Winter',
        valid_from: '2026-10-01',
        number,
        price: `${some(900)}.${some(90) + 10}`,
      }
    case 'machines':
      return {
        model_maker: 'Tarn',
        model: `X${at % 200}`,
        fleet_number: `M${at}`,
        name: `Mower ${at}, issue ${issue}`,
        serial_number: `T${500_000 + at}`,
        // A meter never goes back, so the second issue does not tell of it.
        hours: issue === 1 ? `${some(9000)}.${some(10)}` : '',
      }
    case 'supersessions':
      return { old_number: before, new_number: after, ratio: `${1 + some(3)}`, note: `From bulletin ${issue}` }
    case 'kits':
      return { kit_number: before, content_number: after, quantity: `${1 + some(8)}` }
    case 'alternatives':
      return {
        number: before,
        alternative_number: after,
        reason: 'Same size and the same material',
        approved_by: APPROVER,
        approved_on: '2026-02-03',
      }
  }
}
