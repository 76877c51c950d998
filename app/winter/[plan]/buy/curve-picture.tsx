import graph from '@/app/_parts/graph.module.css'
import { type ChoiceCurve, choiceAt } from '@/lib/winter/choice.ts'
import { chanceWords, moneyWords } from '@/lib/winter/words.ts'
import styles from './buy.module.css'

const WIDTH = 720
const HEIGHT = 260
const LEFT = 92
const TOP = 16
const FOOT = 34
/** More points than this lie within a hair of one another. */
const POINTS_MOST = 400

/** Readiness against money, a step for each thing that is bought, and where the budget stands on it. */
export function CurvePicture({ curve, budget, currency }: { curve: ChoiceCurve; budget: number; currency: string }) {
  const { baseMinor, start, steps } = curve
  const top = steps.at(-1)!
  const span = Math.max(1, top.costMinor - baseMinor)
  const x = (minor: number) => LEFT + Math.min(1, Math.max(0, (minor - baseMinor) / span)) * (WIDTH - LEFT - 12)
  const y = (chance: number) => TOP + (1 - chance) * (HEIGHT - TOP - FOOT)
  const every = Math.max(1, Math.ceil(steps.length / POINTS_MOST))
  const shown = steps.filter((_, at) => at % every === 0 || at === steps.length - 1)
  const line = shown.reduce(
    (path, { costMinor, readiness }) => `${path} H ${x(costMinor).toFixed(1)} V ${y(readiness).toFixed(1)}`,
    `M ${x(baseMinor)} ${y(start)}`,
  )
  const point = choiceAt(curve, budget)
  return (
    <figure className={graph.picture}>
      <svg
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        role="img"
        aria-label={`Readiness against money: from ${chanceWords(start)} at ${moneyWords(baseMinor, currency)} to ${chanceWords(top.readiness)} at ${moneyWords(top.costMinor, currency)}; the budget stands at ${chanceWords(point.readiness)} for ${moneyWords(point.spentMinor, currency)}.`}
      >
        {[0, 0.5, 1].map((chance) => (
          <g key={chance}>
            <line className={styles.grid} x1={LEFT} x2={WIDTH} y1={y(chance)} y2={y(chance)} />
            <text className={styles.label} x={LEFT - 8} y={y(chance) + 6} textAnchor="end">
              {chance * 100} %
            </text>
          </g>
        ))}
        <path className={styles.line} d={line} />
        <line className={styles.here} x1={x(budget)} x2={x(budget)} y1={TOP} y2={HEIGHT - FOOT} />
        <circle className={styles.dot} cx={x(point.spentMinor)} cy={y(point.readiness)} r={7} />
        <text className={styles.label} x={LEFT} y={HEIGHT - 8}>
          {moneyWords(baseMinor, currency)}
        </text>
        <text className={styles.label} x={WIDTH - 4} y={HEIGHT - 8} textAnchor="end">
          {moneyWords(top.costMinor, currency)}
        </text>
      </svg>
    </figure>
  )
}
