import { dateSays } from '../measure/date.ts'
import type { StockUnit } from '../measure/quantity.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { WinterAnswer } from './answer.ts'
import type { WinterFacts, WinterPartFacts } from './facts.ts'

/** A part that the season takes, or may take, and that nobody on file can bring in time. */
export interface NotToBeHad {
  partId: number
  number: string
  maker: string
  description: string
  unit: StockUnit
  /** What is lacking of it, minor units; 0 where what is on order would do, but comes too late. */
  quantity: number
  /** Some job waits for it whatever is bought; else it is enough in most cases. */
  isCertain: boolean
  neededOn: PlainDate
  why: string
}

/**
 * What a list to buy cannot hold: whoever orders by it has to get these elsewhere. `arrivals`: when an order of today is there, by
 * part; absent where nobody sells it.
 */
export function notToBeHad(
  { parts }: Pick<WinterFacts, 'parts'>,
  arrivals: ReadonlyMap<number, PlainDate>,
  { leftOut, parts: answers }: Pick<WinterAnswer, 'leftOut' | 'parts'>,
): NotToBeHad[] {
  const reckoned = new Map(answers.map((one) => [one.partId, one]))
  const waiting = new Set(leftOut)
  return parts.flatMap((part): NotToBeHad[] => {
    const need = reckoned.get(part.id)
    if (!need) return []
    const { id: partId, number, maker, description, unit } = part
    const { certain, enough, stock, neededOn } = need
    const isCertain = waiting.has(partId)
    const quantity = Math.max(0, (isCertain ? certain : enough) - stock)
    if (!isCertain && (arrivals.has(partId) || quantity === 0)) return []
    const why = whyNot(part, arrivals.get(partId), quantity)
    return [{ partId, number, maker, description, unit, quantity, isCertain, neededOn, why }]
  })
}

function whyNot({ discontinued, offer }: WinterPartFacts, arrives: PlainDate | undefined, quantity: number): string {
  if (quantity === 0) return 'what is on order comes too late'
  if (discontinued !== null) return `no longer made${discontinued === '' ? '' : `, ${discontinued}`}`
  if (offer === null) return 'no supplier on file sells it, or only in a currency without a rate'
  return arrives === undefined ? 'nobody can bring it' : `there on ${dateSays(arrives)} at the earliest`
}
