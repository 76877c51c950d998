import type { LevelAnswer, Target } from './level.ts'

export interface LevelWords {
  /** "about 12 a year are used"; of a part that was never taken "about 0.2 a year are foreseen". */
  used: string
  /** What one job takes, as the storekeeper reads it; null or absent where that is one piece or not known. */
  atATime?: string | null
  /** "14 days, mostly 10 to 18" */
  lead: string
  /** Time between two looks at the shelf; 0 where every taking is looked at. */
  review: number
  /** A quantity as the storekeeper reads it: "3", "2.5 L". */
  show: (quantity: number) => string
}

/** 0.9512 as "95 of 100"; what is nearly all keeps its digits: 0.9987 as "998 of 1000". Never says more than is true. */
export function shareSays(share: number): string {
  const thousandths = Math.min(1000, Math.max(0, Math.floor(share * 1000 + 1e-9)))
  if (thousandths === 1000) return 'all but a few'
  return thousandths > 990 ? `${thousandths} of 1000` : `${Math.floor(thousandths / 10)} of 100`
}

/** A reason is kept in few words; where it stands behind a sentence it reads like one. */
export function sentence(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? '' : '.'}`
}

/** "95.5" as the share 0.955 that is to be there at once; null where it is not above 0 and below 100, or has three decimals. */
export function aimParse(text: string): number | null {
  const share = /^\d{1,2}([.,]\d{1,2})?$/.test(text.trim()) ? Number(text.trim().replace(',', '.')) : 0
  return share > 0 ? Number((share / 100).toPrecision(12)) : null
}

/** "95 of 100 there at once". A cycle is counted by looks at the shelf, or by deliveries where every taking is looked at (review 0). */
export function targetSays(target: Target, review: number): string {
  switch (target.kind) {
    case 'fill':
      return `${shareSays(target.share)} there at once`
    case 'cycle':
      return review > 0
        ? `nobody waiting after ${shareSays(target.share)} looks at the shelf until the order of the next has come`
        : `nobody waiting before ${shareSays(target.share)} deliveries`
    case 'least-cost':
      return 'the least cost of stock and standing machines'
  }
}

/** What is expected of the levels, told by what they aim at: "97 of 100 are expected". */
function expectedSays(
  { fillRate, cycleService, deliveryService }: LevelAnswer,
  target: Target,
  review: number,
): string {
  const atOnce = `${shareSays(fillRate)} there at once`
  if (target.kind === 'fill') return `${shareSays(fillRate)} are expected`
  if (target.kind === 'least-cost') return `${atOnce} are expected`
  const byDelivery =
    review > 0 && deliveryService !== null ? `, about ${shareSays(deliveryService)} counted by deliveries,` : ''
  return `${shareSays(cycleService)} are expected${byDelivery} and ${atOnce}`
}

/**
 * A level in one plain sentence: "Order up to 8 when 3 are left: about 12 a year are used, a delivery takes 14 days, and the aim is 95
 * of 100 there at once; 97 of 100 are expected."
 */
export function levelSays(
  answer: LevelAnswer,
  target: Target,
  { used, atATime = null, lead, review, show }: LevelWords,
): string {
  const { reorderPoint, orderUpTo, steps } = answer
  const when = reorderPoint <= 0 ? 'when none is left' : `when ${show(reorderPoint)} or fewer are left`
  const why: string[] = []
  if ([...steps.reorderPoint, ...steps.orderUpTo].some((step) => step.rule === 'one-job'))
    why.push('never less than one job’s worth is kept')
  if (steps.orderUpTo.some((step) => step.rule === 'set')) why.push('whole sets are kept')
  const also = why.length > 0 ? `; ${why.join(' and ')}` : ''
  return `Order up to ${show(orderUpTo)} ${when}: ${used}${atATime === null ? '' : `, ${atATime} at a time`}, a delivery takes ${lead}, and the aim is ${targetSays(target, review)}; ${expectedSays(answer, target, review)}${also}.`
}
