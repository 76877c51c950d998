import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'

/** What the shelf says of a part, by word and by shape: a full square, a half one, an empty one. */
export function stockWords(
  stock: { available: number; onHand: number; onOrder: number },
  unit: StockUnit,
  reorderPoint: number | null,
): {
  shape: string
  words: string
  state: 'plenty' | 'low' | 'none'
} {
  const order = stock.onOrder > 0 ? `, ${quantityFormat(stock.onOrder, unit)} on order` : ''
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
  stock: { available: number; onHand: number; onOrder: number }
  unit: StockUnit
  reorderPoint?: number | null
}) {
  const { shape, words, state } = stockWords(props.stock, props.unit, props.reorderPoint ?? null)
  return (
    <span className={`stock-state ${state}`}>
      <span className="shape" aria-hidden="true">
        {shape}
      </span>
      <span>{words}</span>
    </span>
  )
}
