import graph from '@/app/_parts/graph.module.css'
import { type MonthUse, yearMarks } from '@/lib/demand/history.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import styles from './level.module.css'

/** Months that the picture has room for. */
const MONTHS_SHOWN = 36
const WIDTH = 720
const HEIGHT = 160
const MARKS = 14
/** Room below for the years, in letters that a phone shows too. */
const YEARS = 30

const total = (month: MonthUse) => month.planned + month.failure + month.other

/** Use by month: services hatched, the rest filled, months without stock marked below; the words and the table say the same. */
export function HistoryPicture({ months, unit }: { months: readonly MonthUse[]; unit: StockUnit }) {
  const shown = months.slice(-MONTHS_SHOWN)
  const first = shown[0]
  const last = shown.at(-1)
  if (!first || !last) return <p className="empty">Nothing of it has moved in a whole month yet.</p>
  const show = (quantity: number) => quantityFormat(quantity, unit)
  const most = Math.max(1, ...shown.map(total))
  const wide = WIDTH / shown.length
  const high = (quantity: number) => (quantity / most) * HEIGHT
  const sum = shown.reduce((all, month) => all + total(month), 0)
  const planned = shown.reduce((all, month) => all + month.planned, 0)
  const empty = shown.filter((month) => month.isCensored).length
  const far = shown.filter((month) => month.isOutlier).length
  const says = `${show(sum)} used from ${first.month} to ${last.month}, ${show(planned)} of it for services; the most in a month was ${show(most === 1 && sum === 0 ? 0 : most)}; ${empty === 0 ? 'the shelf was never empty' : `the shelf was empty at some time in ${counted(empty, 'month')}`}.${far === 0 ? '' : ` ${counted(far, 'month')} far above the others ${far === 1 ? 'counts' : 'count'} as the others do.`}`
  return (
    <figure className={graph.picture}>
      <svg viewBox={`0 -4 ${WIDTH} ${HEIGHT + MARKS + YEARS + 4}`} role="img" aria-label={`Use by month: ${says}`}>
        <defs>
          <pattern id="services" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line className={styles.hatch} x1="0" y1="0" x2="0" y2="6" />
          </pattern>
        </defs>
        {shown.map((month, at) => {
          const rest = high(month.failure + month.other)
          const x = at * wide + wide * 0.12
          const width = wide * 0.76
          return (
            <g key={month.month}>
              <rect className={styles.used} x={x} width={width} y={HEIGHT - rest} height={rest} />
              <rect
                className={styles.planned}
                fill="url(#services)"
                x={x}
                width={width}
                y={HEIGHT - rest - high(month.planned)}
                height={high(month.planned)}
              />
              {month.isCensored ? (
                <path
                  className={styles.empty}
                  d={`M${x},${HEIGHT + 4} l${width},8 M${x},${HEIGHT + 12} l${width},-8`}
                />
              ) : null}
            </g>
          )
        })}
        <line className={graph.ground} x1={0} x2={WIDTH} y1={HEIGHT} y2={HEIGHT} />
        {yearMarks(shown.map(({ month }) => month)).map(({ at, year }) => (
          <g key={year}>
            <line className={graph.ground} x1={at * wide} x2={at * wide} y1={HEIGHT} y2={HEIGHT + MARKS + YEARS} />
            <text className={graph.mark} x={at * wide + 6} y={HEIGHT + MARKS + YEARS - 6}>
              {year}
            </text>
          </g>
        ))}
      </svg>
      <figcaption className="small">
        {says} Filled: repairs and other use; hatched: services; crossed: shelf empty.
      </figcaption>
      <details>
        <summary className="button quiet">Month by month</summary>
        <table className="parts">
          <thead>
            <tr>
              <th scope="col">Month</th>
              <th scope="col" className="right">
                Repairs
              </th>
              <th scope="col" className="right">
                Services
              </th>
              <th scope="col" className="right">
                Other
              </th>
              <th scope="col">Note</th>
            </tr>
          </thead>
          <tbody>
            {shown.toReversed().map((month) => (
              <tr key={month.month}>
                <td>{month.month}</td>
                <td className="right">{show(month.failure)}</td>
                <td className="right">{show(month.planned)}</td>
                <td className="right">{show(month.other)}</td>
                <td>
                  {[month.isCensored ? 'shelf empty' : '', month.isOutlier ? 'far above the others' : '']
                    .filter(Boolean)
                    .join(', ')}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </figure>
  )
}
