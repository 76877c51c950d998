import { dueSays } from '../buying/order-text.ts'
import { counted } from '../measure/counted.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'

/** What an open job has been promised, minor units. */
export interface KeptFor {
  jobId: number
  /** Its number, as people call it. */
  job: number
  quantity: number
}

export interface StockFacts {
  /** To use. */
  onHand: number
  /** Past its use-by day, and lying with what is used: not in `onHand`. */
  spoiled?: number
  /** On hand, less what is kept for open jobs. */
  available: number
  onOrder: number
  /** When the first of what is on order should come, or should have come. */
  dueOn?: string | null
  keptFor: readonly KeptFor[]
}

export interface StockSaid {
  shape: string
  words: string
  state: 'plenty' | 'low' | 'none'
}

/** From so many jobs on they are counted, not named. */
const JOBS_NAMED_MAX = 3

function jobsSay(kept: readonly KeptFor[], ownJobId: number | null): string {
  const all = new Set(kept.map(({ jobId }) => jobId))
  if (all.size > JOBS_NAMED_MAX) return counted(all.size, 'job')
  const others = kept.filter(({ jobId }) => jobId !== ownJobId).map(({ job }) => job)
  const named = [...new Set(others)].sort((a, b) => a - b)
  const rest = named.length === 0 ? '' : `job${named.length > 1 ? 's' : ''} ${named.join(', ')}`
  return named.length === all.size ? rest : rest === '' ? 'this job' : `this job and ${rest}`
}

/**
 * What the shelf says of a part, by word and by shape: a full square, a half one, an empty one. It follows what is free to take,
 * not what lies there: parts that are kept for a job are none for anybody else. On the screens of a job (`ownJobId`)
 * what is kept for it is free for it.
 * With `today` (calendar date, ISO 8601) an order that is late is called so.
 * Example: 2 on hand and both kept for job 481 is "none free, 2 kept for job 481", with the empty square.
 */
export function stockWords(
  stock: StockFacts,
  unit: StockUnit,
  reorderPoint: number | null,
  ownJobId: number | null = null,
  today: string | null = null,
): StockSaid {
  const show = (quantity: number) => quantityFormat(quantity, unit)
  // Only what is late is dated here: the rest stands on the part card.
  const due = stock.dueOn && today !== null ? dueSays(stock.dueOn, today) : null
  const order = stock.onOrder > 0 ? `, ${show(stock.onOrder)} on order${due?.isLate ? `, ${due.words}` : ''}` : ''
  const spoiled = stock.spoiled ? `, ${show(stock.spoiled)} spoiled, not counted` : ''
  const none = stock.spoiled ? 'none to use' : 'none on shelf'
  if (stock.onHand <= 0) return { shape: '☐', words: `${none}${spoiled}${order}`, state: 'none' }
  // What was promised before it spoiled is promised until the next movement: no more is kept than is there.
  const kept = Math.min(stock.onHand, Math.max(0, stock.onHand - stock.available))
  const own = stock.keptFor.filter(({ jobId }) => jobId === ownJobId).reduce((sum, { quantity }) => sum + quantity, 0)
  const free = Math.min(stock.onHand, Math.max(0, stock.available) + own)
  const jobs = stock.keptFor.filter(({ quantity }) => quantity > 0)
  const keptSays = kept === 0 ? '' : `, ${show(kept)} kept for ${jobs.length > 0 ? jobsSay(jobs, ownJobId) : 'jobs'}`
  if (free === 0) return { shape: '☐', words: `none free${keptSays}${spoiled}${order}`, state: 'none' }
  const low = reorderPoint !== null && stock.available + stock.onOrder <= reorderPoint
  return {
    shape: low ? '◧' : '■',
    words: `${show(free)} ${kept === 0 ? 'on shelf' : 'free'}${keptSays}${low ? ', low' : ''}${spoiled}${order}`,
    state: low ? 'low' : 'plenty',
  }
}
