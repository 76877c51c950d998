import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import type { PartCard } from '@/lib/db/part.ts'
import type { WhereUsed } from '@/lib/db/where-used.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'

interface Donor {
  id: number
  fleetNumber: string
  name: string
  state: string
  model: string
  certain: boolean
}

/** No longer made: what is left in the stores, and which of our machines carry one. */
export function Discontinued(props: {
  part: PartCard
  discontinued: { on: string; note: string }
  uses: readonly WhereUsed[]
}) {
  const { part, discontinued } = props
  const donors = donorsOf(props.uses)
  const byStore = new Map<string, number>()
  for (const bin of part.bins) byStore.set(bin.store, (byStore.get(bin.store) ?? 0) + bin.quantity)
  return (
    <section className="caution stack tight" aria-labelledby="gone">
      <h2 id="gone">
        No longer made, since <When at={discontinued.on} />
      </h2>
      <p>{discontinued.note}</p>
      <p>It is never proposed for an order. Left in our own stores:</p>
      {byStore.size === 0 ? (
        <p>None in any store.</p>
      ) : (
        <ul>
          {[...byStore].map(([store, quantity]) => (
            <li key={store}>
              {store}: {quantityFormat(quantity, part.unit)}
              {' in '}
              {part.bins
                .filter((bin) => bin.store === store)
                .map((bin) => `${bin.bin} (${quantityFormat(bin.quantity, part.unit)})`)
                .join(', ')}
            </li>
          ))}
        </ul>
      )}
      <h3>Machines of ours that carry one</h3>
      {donors.length === 0 ? (
        <p>None that the parts books know of.</p>
      ) : (
        <ul>
          {donors.map((donor) => (
            <li key={donor.id}>
              <Link href={paths.machine(donor.id)} prefetch={false}>
                {donor.fleetNumber} {donor.name}
              </Link>
              , {donor.model}
              {donor.state === 'laid-up' ? ' - laid up, a possible donor' : ''}
              {donor.certain ? '' : ' - read its plate first: the serial number is not on file or of another kind'}
            </li>
          ))}
        </ul>
      )}
      <p className="small">
        A used part is worn: measure it against the limits in the maker’s manual, and let a qualified person decide
        before it goes into brakes, steering, lifting or guards.
      </p>
    </section>
  )
}

/** Laid-up machines first, then those that certainly have it; machines at work are named because a spare may be borrowed. */
function donorsOf(uses: readonly WhereUsed[]): Donor[] {
  const donors = new Map<number, Donor>()
  for (const use of uses)
    for (const [list, certain] of [
      [use.machines.inside, true],
      [use.machines.unknown, false],
    ] as const)
      for (const machine of list)
        if (!donors.get(machine.id)?.certain) donors.set(machine.id, { ...machine, model: use.model, certain })
  const rank = (donor: Donor) => (donor.state === 'laid-up' ? 0 : 2) + (donor.certain ? 0 : 1)
  return [...donors.values()].sort((a, b) => rank(a) - rank(b) || a.fleetNumber.localeCompare(b.fleetNumber, 'en'))
}
