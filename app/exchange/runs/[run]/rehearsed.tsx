import { paths } from '@/app/paths.ts'
import type { ExchangeRehearsed } from '@/lib/db/exchange.ts'
import type { Kind } from '@/lib/exchange/columns.ts'
import { counted } from '@/lib/measure/counted.ts'
import { Counts } from './done.tsx'
import { PriceMoves } from './price-moves.tsx'

interface Props {
  id: string
  kind: Kind
  rehearsed: Omit<ExchangeRehearsed, 'refusedFile'>
}

/** What would happen, and every row that stands in the way. */
export function Rehearsed({ id, rehearsed }: Props) {
  const { refusals, refusedRows, rightRows } = rehearsed
  return (
    <section className="sheet stack" aria-labelledby="rehearsed">
      <h2 id="rehearsed">
        {refusedRows === 0
          ? '○ Rehearsed: nothing stands in the way'
          : `▲ Rehearsed: ${counted(refusedRows, 'row')} refused`}
      </h2>
      <p>
        Nothing has been changed yet.{' '}
        {refusedRows === 0
          ? 'This is what bringing it in would do.'
          : rightRows === undefined
            ? 'A file comes in as a whole or not at all.'
            : rightRows === 0
              ? 'No row can be taken as it is.'
              : `${counted(rightRows, 'row')} of ${rehearsed.rows.toLocaleString('en-GB')} can be taken without the others: this is what that would do.`}
      </p>
      <Counts done={rehearsed} />
      {rehearsed.moves ? <PriceMoves moves={rehearsed.moves} /> : null}
      {refusedRows > 0 ? (
        <>
          <p>
            <a className={rightRows ? 'button' : 'button primary'} href={paths.exchangeRefused(id)} download>
              Download the refused rows
            </a>
          </p>
          <p className="soft">
            {rightRows === undefined
              ? 'They are a CSV file with a reason beside each row. Mend them in the file you brought, then bring that one again; or take them out of it and bring both.'
              : 'They are a CSV file with a reason beside each row, and with every row of a part of which one is wrong. Mend them there and bring that file in.'}
          </p>
          <table className="parts fold">
            <caption className="visually-hidden">Refused rows</caption>
            <thead>
              <tr>
                <th scope="col">Row</th>
                <th scope="col">Column</th>
                <th scope="col">Why</th>
              </tr>
            </thead>
            <tbody>
              {refusals.map(({ row, column, reason }) => (
                <tr key={`${row} ${column} ${reason}`}>
                  <td className="number">{row}</td>
                  <td>{column || 'the row'}</td>
                  <td className="wide">{reason}</td>
                </tr>
              ))}
            </tbody>
          </table>
          {refusedRows > refusals.length ? <p className="soft">The others are in the file of refused rows.</p> : null}
        </>
      ) : null}
    </section>
  )
}
