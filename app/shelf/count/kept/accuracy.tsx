import type { MonthAccuracy } from '@/lib/stock/count-accuracy.ts'
import styles from './kept.module.css'

const [WIDTH, HEIGHT, BAR, GAP] = [20, 80, 26, 10]
const share = (right: number, all: number) => Math.floor((right * 100) / all)

function monthSays(month: string): string {
  return new Intl.DateTimeFormat('en-GB', { month: 'short', year: 'numeric', timeZone: 'UTC' }).format(
    new Date(`${month}-01T00:00:00Z`),
  )
}

/** How often the books were right, month by month: bars, and the same in words beside them. */
export function Accuracy({ months }: { months: readonly MonthAccuracy[] }) {
  if (months.length === 0) return <p className="empty">Nothing was counted in the last twelve months.</p>
  const width = WIDTH + months.length * (BAR + GAP)
  return (
    <div className={styles.accuracy}>
      <svg className={styles.bars} viewBox={`0 0 ${width} ${HEIGHT + 20}`} aria-hidden="true" focusable="false">
        {[0, 50, 100].map((percent) => (
          <line
            key={percent}
            x1="0"
            x2={width}
            y1={10 + HEIGHT - (HEIGHT * percent) / 100}
            y2={10 + HEIGHT - (HEIGHT * percent) / 100}
            className={styles.line}
          />
        ))}
        {months.map(({ month, right, lines }, at) => {
          const tall = (HEIGHT * right) / lines
          return (
            <rect
              key={month}
              x={GAP + at * (BAR + GAP)}
              y={10 + HEIGHT - tall}
              width={BAR}
              height={tall}
              className={styles.bar}
            />
          )
        })}
      </svg>
      <table className="parts">
        <caption className="visually-hidden">Right at the first count, by month</caption>
        <thead>
          <tr>
            <th scope="col">Month</th>
            <th scope="col">Lines right</th>
            <th scope="col">Bins right</th>
          </tr>
        </thead>
        <tbody>
          {months.map(({ month, right, lines, binsRight, bins }) => (
            <tr key={month}>
              <td>{monthSays(month)}</td>
              <td>
                {share(right, lines)} %{' '}
                <span className="soft small">
                  ({right} of {lines})
                </span>
              </td>
              <td>
                {share(binsRight, bins)} %{' '}
                <span className="soft small">
                  ({binsRight} of {bins})
                </span>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}
