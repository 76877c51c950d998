import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { WhereUsed } from '@/lib/db/where-used.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'

/** Every model, figure and item where the part is fitted, with the machines of ours that have it. */
export function UsedIn({ uses, cut, unit }: { uses: readonly WhereUsed[]; cut: boolean; unit: StockUnit }) {
  const models = new Set(uses.map((use) => use.modelId)).size
  const machines = new Set(uses.flatMap((use) => use.machines.inside.map((machine) => machine.id))).size
  return (
    <section className="stack tight" aria-labelledby="used">
      <h2 id="used">Where used</h2>
      {uses.length === 0 ? (
        <p className="soft">In no figure of a parts book.</p>
      ) : (
        <>
          <p>
            {counted(uses.length, 'place')} in {counted(models, 'model')}; {counted(machines, 'machine')} of ours with
            it for certain.
            {cut ? ' Only the first lines are shown.' : ''}
          </p>
          <table className="parts fold">
            <thead>
              <tr>
                <th scope="col">Item</th>
                <th scope="col">Figure</th>
                <th scope="col">Model</th>
                <th scope="col">Side, serial numbers</th>
                <th scope="col" className="right">
                  Qty per assembly
                </th>
                <th scope="col">Our machines</th>
              </tr>
            </thead>
            <tbody>
              {uses.map((use) => (
                <tr key={`${use.lineId} ${use.modelId}`}>
                  <td>
                    <span className="callout">{use.item}</span>
                  </td>
                  <td>
                    <Link href={paths.figure(use.modelId, use.figureId, { item: use.item })} prefetch={false}>
                      {use.number} {use.figure}
                    </Link>
                    {use.orderInstead ? (
                      <span className="small">
                        <br />
                        Not sold separately: order item {use.orderInstead.item},{' '}
                        <Link href={paths.part(use.orderInstead.partId)} className="number" prefetch={false}>
                          {use.orderInstead.number}
                        </Link>
                      </span>
                    ) : null}
                  </td>
                  <td>{use.model}</td>
                  <td className="wide" data-label="fits">
                    {[use.side === null ? '' : `${use.side} only`, use.serialBreak].filter(Boolean).join(', ') || 'all'}
                  </td>
                  <td className="right" data-label="qty">
                    {quantityFormat(use.quantity, unit)}
                    {use.positions > 1 ? <span className="soft small"> at each of {use.positions}</span> : null}
                  </td>
                  <td className="wide" data-label="ours">
                    <Machines use={use} />
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      )}
    </section>
  )
}

function Machines({ use }: { use: WhereUsed }) {
  const { inside, outside, unknown } = use.machines
  if (inside.length + outside + unknown.length === 0) return <span className="soft">none of this model</span>
  return (
    <>
      {inside.map((machine, at) => (
        <span key={machine.id}>
          {at > 0 ? ', ' : ''}
          <Link href={paths.machine(machine.id)} prefetch={false}>
            {machine.fleetNumber}
          </Link>
        </span>
      ))}
      {inside.length === 0 ? 'none inside' : ''}
      {unknown.length > 0 ? (
        <span className="soft"> ? {unknown.map((machine) => machine.fleetNumber).join(', ')}, read the plate</span>
      ) : null}
      {outside > 0 ? <span className="soft"> ({outside} outside)</span> : null}
    </>
  )
}
