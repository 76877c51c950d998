import type { Point, Size, View } from '@/lib/geometry/view.ts'
import { viewToScreen } from '@/lib/geometry/view.ts'
import styles from './figure.module.css'

/** A callout at a glance: what it is and what the shelf says, before its card is opened. */
export interface Glimpse {
  item: string
  says: string
  stock?: { shape: string; words: string; hand: string; bins: string[] }
}

const WIDTH = 300

/** Beside the number, at a desk; on a phone the desk answers at the thumb. Listeners hear the same from the number's own name. */
export function Preview(props: { glimpse: Glimpse; at: Point; view: View; window: Size }) {
  const { glimpse, at, view, window } = props
  const { x, y } = viewToScreen(view, at)
  const left = Math.max(8, Math.min(x - WIDTH / 2, window.width - WIDTH - 8))
  const below = y < window.height / 2
  return (
    <div
      className={styles.preview}
      aria-hidden="true"
      style={{ left, ...(below ? { top: y + 26 } : { bottom: window.height - y + 26 }) }}
    >
      <span className="callout">{glimpse.item}</span>
      <span>
        <span className="strong">{glimpse.says}</span>
        {glimpse.stock ? (
          <span className="small">
            {glimpse.stock.shape} {glimpse.stock.words}
            {glimpse.stock.bins.length > 0 ? <span className="soft">{glimpse.stock.bins.join('; ')}</span> : null}
            {glimpse.stock.hand ? <span className="soft">{glimpse.stock.hand}</span> : null}
          </span>
        ) : null}
      </span>
    </div>
  )
}
