import { stockFor } from '@/lib/demand/frontier.ts'
import { type YearSum, yearSays } from '@/lib/demand/past-year.ts'
import { wayPoints } from '@/lib/demand/past-year-choice.ts'
import type { YearGroup } from '@/lib/demand/past-year-result.ts'
import { WAY_WORDS, wayName } from '@/lib/demand/past-year-words.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import styles from './last-year.module.css'
import type { YearQuestion } from './question.ts'
import { share } from './share.ts'

/** As it was, the levels kept now, and each way with the aim that is looked at: what it achieved, and what lay there. */
export function WayTable({
  group,
  question,
  currency,
}: {
  group: YearGroup
  question: YearQuestion
  currency: string
}) {
  const { kind, service } = question
  const points = new Map(wayPoints(group, kind).map((way) => [way.name, way.points]))
  const equal = (name: string) => stockFor(points.get(name) ?? [], service)
  const money = (value: number) => moneyFormat(Math.round(value), currency)
  return (
    <section className="stack tight" aria-labelledby="ways">
      <h2 id="ways">Aimed at {share(service)}</h2>
      <table className="parts fold">
        <thead>
          <tr>
            <th scope="col">Levels</th>
            <th scope="col" className="right">
              Handed out at once
            </th>
            <th scope="col" className="right">
              Months nobody waits
            </th>
            <th scope="col" className="right">
              Months ended empty
            </th>
            <th scope="col" className="right">
              Pieces
            </th>
            <th scope="col" className="right">
              Stock
            </th>
            <th scope="col" className="right">
              Orders
            </th>
            <th scope="col" className="right">
              Stock for {share(service)} achieved
            </th>
          </tr>
        </thead>
        <tbody>
          <Row
            name="As it really was"
            says="who waited the ledger does not know"
            sum={group.real}
            isReal
            money={money}
            wanted={share(service)}
          />
          <Row name="Levels kept now" says="held all year" sum={group.kept} money={money} wanted={share(service)} />
          {group.ways
            .filter((way) => way.kind === kind)
            .flatMap(({ name, points: tried }) => {
              const at = tried.find((point) => point.target === service)
              if (!at) return []
              const value = equal(name)
              return [
                <Row
                  key={name}
                  name={wayName(name)}
                  says={WAY_WORDS[name]?.says ?? ''}
                  sum={at.sum}
                  money={money}
                  wanted={share(service)}
                  equal={value === null ? 'not reached' : money(value)}
                />,
              ]
            })}
        </tbody>
      </table>
    </section>
  )
}

/** Levels that were really kept have one point, no line to read other services off. */
const NONE = '–'

function Row(props: {
  name: string
  says: string
  sum: YearSum
  money: (value: number) => string
  isReal?: boolean
  equal?: string
  wanted: string
}) {
  const { name, says, sum, money, isReal, equal, wanted } = props
  const { fill, cycle, empty, pieces, value, orders } = yearSays(sum)
  const unknown = <span className="soft">not known</span>
  return (
    <tr>
      <td className="wide">
        <span className="strong">{name}</span>
        <br />
        <span className="soft small">{says}</span>
      </td>
      <td className={`right wide ${styles.figure}`} data-label="At once">
        {isReal ? unknown : share(fill)}
      </td>
      <td className={`right wide ${styles.figure}`} data-label="Nobody waits">
        {isReal ? unknown : share(cycle)}
      </td>
      <td className={`right wide ${styles.figure}`} data-label="Ended empty">
        {share(empty)}
      </td>
      <td className={`right wide ${styles.figure}`} data-label="Pieces">
        {Math.round(pieces)}
      </td>
      <td className={`right wide ${styles.figure}`} data-label="Stock">
        {money(value)}
      </td>
      <td className={`right wide ${styles.figure}`} data-label="Orders">
        {isReal ? unknown : Math.round(orders)}
      </td>
      <td className={`right wide ${styles.figure}`} data-label={`For ${wanted}`}>
        {equal ?? NONE}
      </td>
    </tr>
  )
}
