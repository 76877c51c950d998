import { leadMonths, type YearUnder, yearUnder } from '@/lib/demand/past-year.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import type { ProposalFacts } from '@/lib/replenish/proposal.ts'

type Level = { reorderPoint: number; orderUpTo: number }

interface LastYearProps {
  unit: StockUnit
  months: ProposalFacts['months']
  kept: Level | null
  proposal: Level & { perYear: number }
  leadDays: number
  withPlanned: boolean
}

/** The last twelve months run again under the level kept now and under the proposed one. */
export function LastYear({ unit, months, kept, proposal, leadDays, withPlanned }: LastYearProps) {
  const how = { leadDays, withPlanned }
  const now = yearUnder(months, kept, how)
  const proposed = proposal.perYear > 0 ? yearUnder(months, proposal, how) : null
  const show = (quantity: number) => quantityFormat(Math.round(quantity), unit)
  // A mean of pieces has a decimal; of millilitres nobody wants one.
  const mean = (quantity: number) => (unit === 'each' ? String(Number(quantity.toFixed(1))) : show(quantity))
  const row = (name: string, level: Level | null, year: YearUnder) => (
    <tr>
      <td className="wide">
        {name}{' '}
        <span className="soft small">{level ? `${show(level.reorderPoint)}, up to ${show(level.orderUpTo)}` : ''}</span>
      </td>
      <td className="wide" data-label="There at once">
        {show(year.served)} of {show(year.wanted)}
      </td>
      <td className="wide" data-label="Months with somebody waiting">
        {year.monthsShort}
      </td>
      <td className="wide" data-label="On the shelf on average">
        {mean(year.meanOnHand)}
      </td>
      <td className="wide" data-label="Orders">
        {year.orders}
      </td>
    </tr>
  )
  return (
    <section className="stack tight" aria-labelledby="last-year">
      <h3 id="last-year">The last twelve months, run again</h3>
      {now === null ? (
        <p className="soft">
          Nothing was asked for in the last twelve whole months{withPlanned ? '' : ', services not counted'}.
        </p>
      ) : (
        <>
          <table className="parts fold">
            <thead>
              <tr>
                <th scope="col">Level</th>
                <th scope="col">There at once</th>
                <th scope="col">Months with somebody waiting</th>
                <th scope="col">On the shelf on average</th>
                <th scope="col">Orders</th>
              </tr>
            </thead>
            <tbody>
              {row(kept ? 'Kept now' : 'No level', kept, now)}
              {proposed ? row('Proposed', proposal, proposed) : null}
            </tbody>
          </table>
          <p className="hint">
            Month by month, as if the level had stood all the time; what is ordered at the end of a month comes{' '}
            {leadMonths(leadDays) === 0 ? 'early in the next' : `${counted(leadMonths(leadDays), 'month')} after that`}.
            The proposal has seen these months, so it does better here than it will.
          </p>
        </>
      )}
    </section>
  )
}
