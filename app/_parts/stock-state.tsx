import type { StockUnit } from '@/lib/measure/quantity.ts'
import { type StockFacts, stockWords } from '@/lib/stock/stock-words.ts'
import { todayIs } from './today.ts'

/** What the shelf says of a part, by word and by shape. */
export function StockState(props: {
  stock: StockFacts
  unit: StockUnit
  reorderPoint?: number | null
  /** The job whose screen it is: what is kept for it is free for it. */
  ownJobId?: number
}) {
  const { shape, words, state } = stockWords(
    props.stock,
    props.unit,
    props.reorderPoint ?? null,
    props.ownJobId ?? null,
    todayIs(),
  )
  return (
    <span className={`stock-state ${state}`}>
      <span className="shape" aria-hidden="true">
        {shape}
      </span>
      <span>{words}</span>
    </span>
  )
}
