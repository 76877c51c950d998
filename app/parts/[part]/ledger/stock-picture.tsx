import graph from '@/app/_parts/graph.module.css'
import { dateSays } from '@/lib/measure/date.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { type StockLine, stockLinePoints } from '@/lib/stock/stock-line.ts'
import styles from './ledger.module.css'

const WIDTH = 720
const HEIGHT = 200

/** What was on hand over time against the levels; the words below it say the same. */
export function StockPicture(props: {
  line: StockLine
  unit: StockUnit
  level: { reorderPoint: number; orderUpTo: number } | null
  from: string
  to: string
}) {
  const { line, unit, level, from, to } = props
  const show = (quantity: number) => quantityFormat(quantity, unit)
  const most = Math.max(1, line.highest, level?.orderUpTo ?? 0)
  const place = ({ x, y }: { x: number; y: number }) => `${(x * WIDTH).toFixed(1)},${((1 - y) * HEIGHT).toFixed(1)}`
  const points = stockLinePoints(line, most).map(place)
  const across = (quantity: number) => (1 - quantity / most) * HEIGHT
  const now = line.steps.at(-1)!.onHand
  const says =
    `${show(now)} on hand on ${dateSays(to)}; between ${show(line.lowest)} and ${show(line.highest)} since ${dateSays(from)}` +
    (line.daysEmpty === 0 ? ', never empty.' : `, empty on ${line.daysEmpty} of ${line.days} days.`)
  return (
    <figure className={graph.picture}>
      <svg viewBox={`-4 -8 ${WIDTH + 8} ${HEIGHT + 32}`} role="img" aria-label={`Stock over time: ${says}`}>
        <path className={styles.area} d={`M0,${HEIGHT} L${points.join(' L')} L${WIDTH},${HEIGHT} Z`} />
        {level ? (
          <>
            <line className={styles.upTo} x1={0} x2={WIDTH} y1={across(level.orderUpTo)} y2={across(level.orderUpTo)} />
            <line
              className={styles.reorder}
              x1={0}
              x2={WIDTH}
              y1={across(level.reorderPoint)}
              y2={across(level.reorderPoint)}
            />
          </>
        ) : null}
        <polyline className={styles.line} points={points.join(' ')} />
        <line className={graph.ground} x1={0} x2={WIDTH} y1={HEIGHT} y2={HEIGHT} />
        <text className={graph.mark} x={4} y={18}>
          {show(most)}
        </text>
        <text className={graph.mark} x={0} y={HEIGHT + 23}>
          {dateSays(from)}
        </text>
        <text className={graph.mark} x={WIDTH} y={HEIGHT + 23} textAnchor="end">
          {dateSays(to)}
        </text>
      </svg>
      <figcaption className="small">
        {says}
        {level ? (
          <>
            {' '}
            <span className={styles.key}>
              <svg viewBox="0 0 32 8" aria-hidden="true">
                <line className={styles.reorder} x1={0} x2={32} y1={4} y2={4} />
              </svg>{' '}
              reorder point {show(level.reorderPoint)}
            </span>{' '}
            <span className={styles.key}>
              <svg viewBox="0 0 32 8" aria-hidden="true">
                <line className={styles.upTo} x1={0} x2={32} y1={4} y2={4} />
              </svg>{' '}
              order up to {show(level.orderUpTo)}
            </span>
          </>
        ) : (
          ' No levels are set.'
        )}
      </figcaption>
    </figure>
  )
}
