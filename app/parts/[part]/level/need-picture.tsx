import graph from '@/app/_parts/graph.module.css'
import type { Proposal } from '@/lib/replenish/proposal.ts'
import styles from './level.module.css'

const WIDTH = 720
const HEIGHT = 140

/** Chance of each need until an order has come: filled as far as the reorder point lasts, open beyond it. */
export function NeedPicture({ proposal, show }: { proposal: Proposal; show: (amount: number) => string }) {
  const { bars, answer } = proposal
  const most = Math.max(...bars.map((bar) => bar.chance), 1e-9)
  const wide = WIDTH / bars.length
  const last = bars.at(-1)
  const lasts = answer.reorderPoint
  const at =
    ((lasts + (last && last.to - (bars[0]?.from ?? 0) > bars.length * 0.999 ? 1 : 0)) / (last?.to ?? 1)) * WIDTH
  const mean = answer.protection.whole.mean
  const says = `on average ${show(mean)} are wanted from one look at the shelf until the order has come; the reorder point is ${show(lasts)}, and in ${Math.floor(answer.cycleService * 100 + 1e-9)} of 100 deliveries nobody waits.`
  return (
    <figure className={graph.picture}>
      <svg viewBox={`0 -4 ${WIDTH} ${HEIGHT + 8}`} role="img" aria-label={`Need until an order has come: ${says}`}>
        {bars.map((bar, nth) => {
          const high = (bar.chance / most) * HEIGHT
          return (
            <rect
              key={bar.from}
              className={bar.from <= lasts ? styles.served : styles.short}
              x={nth * wide + wide * 0.1}
              width={wide * 0.8}
              y={HEIGHT - high}
              height={high}
            />
          )
        })}
        <line className={graph.ground} x1={0} x2={WIDTH} y1={HEIGHT} y2={HEIGHT} />
        <line className={styles.point} x1={at} x2={at} y1={-4} y2={HEIGHT} />
      </svg>
      <figcaption className="small">
        Left to right: 0 to {show(last?.to ?? 0)}; the higher, the likelier. The line is the reorder point: {says}
      </figcaption>
    </figure>
  )
}
