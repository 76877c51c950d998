import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { MOVES_SHOWN, type Moves } from '@/lib/price/moves.ts'
import { moveSays } from '@/lib/price/price-list.ts'

/** What becomes dearer or cheaper against what held before, before anybody takes it. */
export function PriceMoves({ moves }: { moves: Moves }) {
  const { dearer, cheaper, same, first, shown } = moves
  return (
    <section className="stack tight" aria-labelledby="moves">
      <h3 id="moves">Against what held before</h3>
      <p>
        {dearer} dearer, {cheaper} cheaper, {same} as before
        {first > 0 ? `, ${counted(first, 'part')} without a price before` : ''}; for the smallest order, the discount
        taken off.
      </p>
      {shown.length === 0 ? null : (
        <table className="parts fold">
          <caption className="visually-hidden">Prices that change, the largest change first</caption>
          <thead>
            <tr>
              <th scope="col">Part</th>
              <th scope="col" className="right">
                Before
              </th>
              <th scope="col" className="right">
                Now
              </th>
              <th scope="col" className="right">
                Change
              </th>
            </tr>
          </thead>
          <tbody>
            {shown.map(({ partId, called, currency, ...move }) => (
              <tr key={`${partId} ${called} ${move.afterMinor}`}>
                <td className="number">{called}</td>
                <td className="right" data-label="Before">
                  {moneyFormat(move.beforeMinor, currency)}
                </td>
                <td className="right" data-label="Now">
                  {moneyFormat(move.afterMinor, currency)}
                </td>
                <td className="right wide" data-label="Change">
                  {move.afterMinor > move.beforeMinor ? '▲' : '▽'} {moveSays(move)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {dearer + cheaper > MOVES_SHOWN ? <p className="soft">The {MOVES_SHOWN} largest changes are shown.</p> : null}
    </section>
  )
}
