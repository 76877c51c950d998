import Link from 'next/link'
import { MovementWhy, movementSigned } from '@/app/_parts/movement-why.tsx'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import type { PartCard } from '@/lib/db/part.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { MOVEMENT_KINDS } from '@/lib/stock/movement.ts'

/** The last lines of the ledger for this part. */
export function Movements({ part }: { part: PartCard }) {
  const show = (quantity: number) => quantityFormat(quantity, part.unit)
  return (
    <section className="stack tight" aria-labelledby="movements">
      <div className="row spread">
        <h2 id="movements">Last movements</h2>
        {part.movements.length > 0 ? (
          <Link href={paths.partLedger(part.id)} prefetch={false}>
            All of them, and stock over time
          </Link>
        ) : null}
      </div>
      {part.movements.length === 0 ? (
        <p className="soft">None yet.</p>
      ) : (
        <table className="parts fold">
          <thead>
            <tr>
              <th scope="col">When</th>
              <th scope="col">What</th>
              <th scope="col" className="right">
                Quantity
              </th>
              <th scope="col" className="right">
                Left in bin
              </th>
              <th scope="col">By, for</th>
            </tr>
          </thead>
          <tbody>
            {part.movements.map((move) => (
              <tr key={move.id}>
                <td>
                  <When at={move.at} />
                </td>
                <td>
                  {MOVEMENT_KINDS[move.kind].says} {move.quantity > 0 ? 'into' : 'from'} {move.bin}
                  {move.reversedById ? ' (reversed)' : ''}
                </td>
                <td className="right">{movementSigned(move)}</td>
                <td className="right" data-label="left">
                  {show(move.balanceAfter)}
                </td>
                <td className="wide">
                  <MovementWhy row={move} />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  )
}
