import { dueSays } from '@/lib/buying/order-text.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { todayIs } from './today.ts'

/** What the shelf says of a part, by word and by shape: a full square, a half one, an empty one. */
export function stockWords(
  stock: { available: number; onHand: number; onOrder: number; dueOn?: string | null },
  unit: StockUnit,
  reorderPoint: number | null,
  today: string,
): {
  shape: string
  words: string
  state: 'plenty' | 'low' | 'none'
} {
  // Only what is late is dated here: the rest stands on the part card.
  const due = stock.dueOn ? dueSays(stock.dueOn, today) : null
  const order =
    stock.onOrder > 0 ? `, ${quantityFormat(stock.onOrder, unit)} on order${due?.isLate ? `, ${due.words}` : ''}` : ''
  if (stock.onHand === 0) return { shape: '☐', words: `none on shelf${order}`, state: 'none' }
  const kept = stock.available < stock.onHand ? ` (${quantityFormat(Math.max(0, stock.available), unit)} free)` : ''
  const low = reorderPoint !== null && stock.available + stock.onOrder <= reorderPoint
  return {
    shape: low ? '◧' : '■',
    words: `${quantityFormat(stock.onHand, unit)} on shelf${kept}${low ? ', low' : ''}${order}`,
    state: low ? 'low' : 'plenty',
  }
}

export function StockState(props: {
  stock: { available: number; onHand: number; onOrder: number; dueOn?: string | null }
  unit: StockUnit
  reorderPoint?: number | null
}) {
  const { shape, words, state } = stockWords(props.stock, props.unit, props.reorderPoint ?? null, todayIs())
  return (
    <span className={`stock-state ${state}`}>
      <span className="shape" aria-hidden="true">
        {shape}
      </span>
      <span>{words}</span>
    </span>
  )
}
