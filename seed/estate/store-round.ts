import { type Random, randomChance, randomInteger, randomPick } from '../../lib/maths/random.ts'
import { quantityScale } from '../../lib/measure/quantity.ts'
import { type Calendar, calendarDate } from './calendar.ts'
import { type Ledger, ledgerOnHand, ledgerWrite, type Placing } from './ledger.ts'
import type { Stocked } from './orders.ts'
import { STOREKEEPER } from './people.ts'
import type { ScenarioPart } from './scenario-part.ts'

/** What lay on the shelf when the book was opened. Parts that no job ever wants lie there too: dead stock is true to life. */
export function shelfOpens(
  ledger: Ledger,
  parts: readonly ScenarioPart[],
  stocked: readonly Stocked[],
  input: { at: Date; random: Random },
): void {
  const levelOf = new Map(stocked.map((one) => [one.partId, one.level]))
  for (const part of parts) {
    const level = levelOf.get(part.partId)
    const scale = quantityScale(part.unit)
    const quantity = part.old
      ? randomInteger(input.random, 1, 2) * scale
      : level
        ? randomInteger(input.random, level.reorderPoint + 1, level.orderUpTo)
        : part.priceMinor < 9_000 && randomChance(input.random, part.criticality === 'desirable' ? 0.8 : 0.35)
          ? randomInteger(input.random, 1, 3) * scale
          : 0
    if (quantity === 0) continue
    const [home, spare] = part.bins
    const away = spare === undefined ? 0 : Math.floor(quantity / 2)
    const costMinor = ledger.costs.get(part.partId) ?? 0
    const placings: Placing[] = [[home!, quantity - away] as const, [spare, away] as const].flatMap(([binId, some]) =>
      binId === undefined || some === 0
        ? []
        : [
            {
              kind: 'receive',
              partId: part.partId,
              binId,
              quantity: some,
              costMinor,
              reason: 'Counted when the stock book was opened',
            },
          ],
    )
    ledgerWrite(ledger, 'stock.receive', { at: input.at, personId: STOREKEEPER }, placings)
  }
}

const LOST = ['Counted, fewer than the book says', 'Taken without writing it down', 'Miscounted at the last delivery']
const FOUND = ['Found behind the next box', 'Counted, more than the book says']
const SCRAPPED = ['Rusted in the wet corner', 'Bag split, contents dirty', 'Dropped, edge chipped', 'Past its date']
const YARD = ['Greasing round the yard', 'For the picking platforms', 'Cleaning day', 'Gate hinges']

/** The storekeeper's own movements of a day: the van, a count, something scrapped, something for the yard. */
export function storeRound(
  ledger: Ledger,
  parts: readonly ScenarioPart[],
  input: { calendar: Calendar; day: number; at: Date; random: Random },
): void {
  const { random, at } = input
  const context = { at, personId: STOREKEEPER }
  if (input.day % 7 === 5) vanFilled(ledger, parts, context)
  const inBin = (part: ScenarioPart) => ledger.balances.get(part.partId)?.get(part.bins[0]!) ?? 0
  const some = (test: (part: ScenarioPart) => boolean) => parts.filter((part) => test(part) && inBin(part) > 2)
  const move = (write: string, part: ScenarioPart, kind: Placing['kind'], quantity: number, reason: string) =>
    ledgerWrite(ledger, write, context, [{ kind, partId: part.partId, binId: part.bins[0]!, quantity, reason }])
  if (randomChance(random, 0.022)) {
    const from = some((part) => part.unit === 'each')
    const lost = randomChance(random, 0.7)
    if (from.length > 0)
      move(
        'stock.count',
        randomPick(random, from),
        'count-difference',
        lost ? -randomInteger(random, 1, 2) : 1,
        randomPick(random, lost ? LOST : FOUND),
      )
  }
  if (randomChance(random, 0.011)) {
    const from = some((part) => part.unit === 'each' && part.priceMinor < 4_000)
    if (from.length > 0) move('stock.scrap', randomPick(random, from), 'scrap', -1, randomPick(random, SCRAPPED))
  }
  if (randomChance(random, 0.45)) {
    const from = parts.filter(
      (part) =>
        ['grease', 'wiping-cloth', 'cleaner'].includes(part.partClass) && inBin(part) > quantityScale(part.unit),
    )
    if (from.length > 0) {
      const part = randomPick(random, from)
      move('stock.issue', part, 'issue', part.unit === 'each' ? -1 : -200, randomPick(random, YARD))
    }
  }
  const date = calendarDate(input.calendar, input.day)
  // Once a year the shelf is looked through and what nobody will want is thrown out.
  if (date.getUTCMonth() === 1 && date.getUTCDate() === 12) {
    const from = some((part) => part.criticality === 'desirable' && part.unit === 'each')
    if (from.length > 0) move('stock.scrap', randomPick(random, from), 'scrap', -1, 'No machine here takes it any more')
  }
}

const IN_THE_VAN = 2

function vanFilled(ledger: Ledger, parts: readonly ScenarioPart[], context: { at: Date; personId: string }): void {
  for (const part of parts) {
    if (part.vanBin === null) continue
    const scale = quantityScale(part.unit)
    const bins = ledger.balances.get(part.partId)
    const there = bins?.get(part.vanBin) ?? 0
    const home = bins?.get(part.bins[0]!) ?? 0
    const quantity = Math.min(IN_THE_VAN * scale - there, home - IN_THE_VAN * scale)
    if (quantity <= 0 || ledgerOnHand(ledger, part.partId) < 3 * scale) continue
    ledgerWrite(ledger, 'stock.transfer', context, [
      { kind: 'transfer-out', partId: part.partId, binId: part.bins[0]!, quantity: -quantity },
      { kind: 'transfer-in', partId: part.partId, binId: part.vanBin, quantity },
    ])
  }
}
