import graph from '@/app/_parts/graph.module.css'
import { DAYS_MOST, type DayBar } from '@/lib/buying/supplier-record.ts'
import { counted } from '@/lib/measure/counted.ts'
import styles from './supplier.module.css'

const WIDTH = 720
const HEIGHT = 140
const MARKS = 28

/** How many lines took how many days; filled as far as the stated time, open beyond it. The words and the table say the same. */
export function DaysPicture({ bars, statedDays }: { bars: readonly DayBar[]; statedDays: number }) {
  const most = Math.max(...bars.map((bar) => bar.lines))
  const longest = Math.max(bars.length - 1, statedDays, 1)
  const wide = WIDTH / (longest + 1)
  const lines = bars.reduce((sum, bar) => sum + bar.lines, 0)
  const longer = bars.filter((bar) => bar.days > statedDays).reduce((sum, bar) => sum + bar.lines, 0)
  const says = `${counted(lines, 'line')} have come, ${longer === 0 ? 'none' : longer} of them after more than the ${counted(statedDays, 'day')} that are stated.`
  const x = (statedDays + 1) * wide
  return (
    <figure className={graph.picture}>
      <svg
        viewBox={`0 -4 ${WIDTH} ${HEIGHT + MARKS + 4}`}
        role="img"
        aria-label={`Days from order to receipt: ${says}`}
      >
        {bars.map(({ days, lines: high }) => (
          <rect
            key={days}
            className={days <= statedDays ? styles.intime : styles.longer}
            x={days * wide + wide * 0.1}
            width={wide * 0.8}
            y={HEIGHT - (high / most) * HEIGHT}
            height={(high / most) * HEIGHT}
          />
        ))}
        <line className={graph.ground} x1={0} x2={WIDTH} y1={HEIGHT} y2={HEIGHT} />
        <line className={styles.stated} x1={x} x2={x} y1={-4} y2={HEIGHT} />
        <text className={graph.mark} x={0} y={HEIGHT + MARKS - 3}>
          0 days
        </text>
        <text className={graph.mark} x={WIDTH} y={HEIGHT + MARKS - 3} textAnchor="end">
          {longest === DAYS_MOST ? `${DAYS_MOST} and more` : longest}
        </text>
      </svg>
      <figcaption className="small">{says} The line is what they say; open bars took longer.</figcaption>
      <details>
        <summary className="button quiet">Day by day</summary>
        <table className="parts">
          <thead>
            <tr>
              <th scope="col">Days</th>
              <th scope="col" className="right">
                Lines
              </th>
            </tr>
          </thead>
          <tbody>
            {bars
              .filter((bar) => bar.lines > 0)
              .map((bar) => (
                <tr key={bar.days}>
                  <td>{bar.days === DAYS_MOST ? `${DAYS_MOST} and more` : bar.days}</td>
                  <td className="right">{bar.lines}</td>
                </tr>
              ))}
          </tbody>
        </table>
      </details>
    </figure>
  )
}
