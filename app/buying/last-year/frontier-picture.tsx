import graph from '@/app/_parts/graph.module.css'
import { frontier } from '@/lib/demand/frontier.ts'
import { yearSays } from '@/lib/demand/past-year.ts'
import { wayPoints } from '@/lib/demand/past-year-choice.ts'
import type { YearGroup } from '@/lib/demand/past-year-result.ts'
import { wayName } from '@/lib/demand/past-year-words.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import styles from './last-year.module.css'
import type { YearQuestion } from './question.ts'
import { share } from './share.ts'

const WIDTH = 720
const HEIGHT = 320
/** Room for "87.5 %" in the letters of a phone. */
const LEFT = 104
const FOOT = 44
const TOP = 14
/** Dashes and marks tell the lines apart without their colour. */
const DASHES = ['', '8 4', '2 4', '12 4 2 4', '5 2', ''] as const
const MARKS = ['square', 'circle', 'triangle', 'diamond', 'cross', 'star'] as const

function Mark({ shape, x, y }: { shape: (typeof MARKS)[number]; x: number; y: number }) {
  const paths: Record<(typeof MARKS)[number], string> = {
    square: 'M-5,-5 h10 v10 h-10 z',
    circle: 'M-5,0 a5,5 0 1,0 10,0 a5,5 0 1,0 -10,0 z',
    triangle: 'M0,-6 l6,11 h-12 z',
    diamond: 'M0,-7 l7,7 l-7,7 l-7,-7 z',
    cross: 'M-5,-5 l10,10 M-5,5 l10,-10',
    star: 'M0,-7 v14 M-7,0 h14 M-5,-5 l10,10 M-5,5 l10,-10',
  }
  return <path className={styles.mark} d={paths[shape]} transform={`translate(${x} ${y})`} />
}

/** Service against the stock it takes, a line a way: the farther to the upper left, the better. The table below says the same. */
export function FrontierPicture(props: { group: YearGroup; question: YearQuestion; currency: string }) {
  const { group, question, currency } = props
  const { kind, service } = question
  const [kept, real] = [yearSays(group.kept), yearSays(group.real)]
  const ways = wayPoints(group, kind).map(({ name, points }) => ({ name, points, line: frontier(points) }))
  const all = ways.flatMap(({ line }) => line)
  const money = (value: number) => moneyFormat(Math.round(value), currency)
  const most = Math.max(1, kept.value, real.value, ...all.map((point) => point.value))
  const least = Math.floor(Math.min(kept[kind], service, ...all.map((point) => point.service)) * 10) / 10
  const x = (value: number) => LEFT + (value / most) * (WIDTH - LEFT - 10)
  const y = (given: number) => TOP + ((1 - given) / Math.max(0.01, 1 - least)) * (HEIGHT - FOOT - TOP)
  const ticks = Array.from({ length: 5 }, (_, at) => least + ((1 - least) * at) / 4)
  return (
    <section className="stack tight" aria-labelledby="picture">
      <h2 id="picture">Service and the stock it takes</h2>
      <figure className={styles.picture}>
        <svg
          viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
          role="img"
          aria-label={`Service against stock, a line a way; the levels kept now gave ${share(kept[kind])} with ${money(kept.value)}, really ${money(real.value)} lay there. The table below has every point.`}
        >
          {ticks.map((tick) => (
            <g key={tick}>
              <line className={styles.grid} x1={LEFT} x2={WIDTH} y1={y(tick)} y2={y(tick)} />
              <text className={styles.label} x={LEFT - 6} y={y(tick) + 5} textAnchor="end">
                {share(tick)}
              </text>
            </g>
          ))}
          <line className={graph.ground} x1={LEFT} x2={WIDTH} y1={HEIGHT - FOOT} y2={HEIGHT - FOOT} />
          <text className={styles.label} x={LEFT} y={HEIGHT - FOOT + 20}>
            0
          </text>
          <text className={styles.label} x={WIDTH - 4} y={HEIGHT - FOOT + 20} textAnchor="end">
            {money(most)} on the shelf
          </text>
          <line className={styles.real} x1={x(real.value)} x2={x(real.value)} y1={TOP} y2={HEIGHT - FOOT} />
          <text className={styles.label} x={x(real.value)} y={HEIGHT - FOOT + 38} textAnchor="middle">
            as it was
          </text>
          {ways.map(({ name, line }, at) => (
            <g key={name}>
              <polyline
                className={styles.line}
                strokeDasharray={DASHES[at % DASHES.length]}
                points={line.map((point) => `${x(point.value)},${y(point.service)}`).join(' ')}
              />
              {line.map((point) => (
                <Mark key={point.value} shape={MARKS[at % MARKS.length]!} x={x(point.value)} y={y(point.service)} />
              ))}
            </g>
          ))}
          <circle className={styles.kept} cx={x(kept.value)} cy={y(kept[kind])} r={9} />
          <text className={styles.label} x={x(kept.value)} y={y(kept[kind]) + 26} textAnchor="middle">
            kept now
          </text>
        </svg>
        <figcaption>
          <ul className={`plain-list ${styles.legend}`}>
            {ways.map(({ name }, at) => (
              <li key={name}>
                <svg width="44" height="18" viewBox="0 0 44 18" aria-hidden="true">
                  <line
                    className={styles.line}
                    strokeDasharray={DASHES[at % DASHES.length]}
                    x1={0}
                    x2={44}
                    y1={9}
                    y2={9}
                  />
                  <Mark shape={MARKS[at % MARKS.length]!} x={22} y={9} />
                </svg>{' '}
                {wayName(name)}
              </li>
            ))}
          </ul>
        </figcaption>
      </figure>
      <details>
        <summary className="button quiet">Every point of the lines</summary>
        <table className="parts">
          <thead>
            <tr>
              <th scope="col">Way</th>
              <th scope="col" className="right">
                Service
              </th>
              <th scope="col" className="right">
                Stock
              </th>
            </tr>
          </thead>
          <tbody>
            {ways.flatMap(({ name, points }) =>
              points.map((point) => (
                <tr key={`${name} ${point.service} ${point.value}`}>
                  <td>{wayName(name)}</td>
                  <td className="right">{share(point.service)}</td>
                  <td className="right">{money(point.value)}</td>
                </tr>
              )),
            )}
          </tbody>
        </table>
      </details>
    </section>
  )
}
