import Link from 'next/link'
import { OldUnitSays } from '@/app/_parts/old-unit-says.tsx'
import { paths } from '@/app/paths.ts'
import { oldUnitsInBin } from '@/lib/db/deposit-read.ts'

/** Old units that lie in the bin. They are no stock: nobody counts or takes them here. */
export async function OldUnitsHere({ binId }: { binId: number }) {
  const units = await oldUnitsInBin(binId)
  return (
    <section className="stack tight" aria-labelledby="old-units">
      <h2 id="old-units">Old units to go back</h2>
      <p className="soft">
        No stock, and worth nothing in the books. What is owed for them stands under{' '}
        <Link href={paths.oldUnits()}>Old units</Link>.
      </p>
      {units.length === 0 ? <p className="empty">No old unit lies here.</p> : null}
      <ul className="plain-list stack tight">
        {units.map((unit) => (
          <li key={unit.id}>
            <OldUnitSays unit={unit} />
          </li>
        ))}
      </ul>
    </section>
  )
}
