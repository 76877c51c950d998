import graph from '@/app/_parts/graph.module.css'
import { shareSays } from '@/lib/replenish/explain.ts'
import type { Proposal } from '@/lib/replenish/proposal.ts'
import styles from './level.module.css'

const WIDTH = 720
const HEIGHT = 140
/** Room for the numbers below the bars, and how many of them there are at most. */
const MARKS = 24
const MARKS_MOST = 10
/** Amounts with a decimal and a unit are wider. */
const MARKS_MOST_POURED = 5

interface NeedPictureOf {
  proposal: Proposal
  isPoured: boolean
  show: (amount: number) => string
}

/** Chance of each need until an order has come: filled as far as the reorder point lasts, open beyond it. */
export function NeedPicture({ proposal, isPoured, show }: NeedPictureOf) {
  const { bars, answer } = proposal
  const most = Math.max(...bars.map((bar) => bar.chance), 1e-9)
  const wide = WIDTH / bars.length
  const last = bars.at(-1)
  const lasts = answer.reorderPoint
  // A bar of pieces stands for whole numbers, the last of which is one below its end; what is poured runs to the end.
  const piece = isPoured ? 0 : 1
  const end = last?.to ?? 1
  const every = Math.ceil(bars.length / (isPoured ? MARKS_MOST_POURED : MARKS_MOST))
  const at = ((lasts + piece) / end) * WIDTH
  const mean = answer.protection.whole.mean
  const says = `on average ${show(mean)} are wanted from one look at the shelf until the order has come; the reorder point is ${show(lasts)}, and after ${shareSays(answer.cycleService)} looks nobody waits until the order of the next has come.`
  return (
    <figure className={graph.picture}>
      <svg
        viewBox={`0 -4 ${WIDTH} ${HEIGHT + MARKS + 8}`}
        role="img"
        aria-label={`Need until an order has come: ${says}`}
      >
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
        {bars.map((bar, nth) =>
          nth % every === 0 ? (
            <text
              key={bar.from}
              className={graph.mark}
              textAnchor={isPoured && nth === 0 ? 'start' : 'middle'}
              x={isPoured ? nth * wide : (nth + 0.5) * wide}
              y={HEIGHT + MARKS}
            >
              {show(bar.from)}
            </text>
          ) : null,
        )}
        <line className={styles.point} x1={at} x2={at} y1={-4} y2={HEIGHT} />
      </svg>
      <figcaption className="small">
        Left to right: 0 to {show(end - piece)}; the higher, the likelier. The line is the reorder point: {says}
      </figcaption>
    </figure>
  )
}
