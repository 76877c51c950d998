import { type OrderStanding, orderStanding } from '@/lib/buying/order-text.ts'
import styles from './buying.module.css'

/** How an order stands, by shape and by word. */
export function OrderState({ order, today }: { order: OrderStanding; today: string }) {
  const { shape, words, isLate } = orderStanding(order, today)
  return (
    <span className={`stock-state ${isLate ? styles.late : ''}`}>
      <span className="shape" aria-hidden="true">
        {shape}
      </span>
      <span>{words}</span>
    </span>
  )
}
