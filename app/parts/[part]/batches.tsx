import Link from 'next/link'
import { BatchName } from '@/app/_parts/batch-name.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { paths } from '@/app/paths.ts'
import { partBatches } from '@/lib/db/batch-read.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { batchesKept } from '@/lib/stock/batch.ts'

/** The batches on hand, the earliest use-by date first; nothing where none are kept. */
export async function Batches({ partId, unit }: { partId: number; unit: StockUnit }) {
  const { rule, lines } = await partBatches(partId)
  if (!batchesKept(rule) && lines.length === 0) return null
  const today = todayIs()
  return (
    <section className="stack tight" aria-labelledby="batches">
      <h2 id="batches">Batches</h2>
      {lines.length === 0 ? <p className="soft">None is on hand.</p> : null}
      <ul className="plain-list">
        {lines.map((line) => (
          <li key={`${line.id} ${line.binId}`}>
            <span className="strong">{quantityFormat(line.quantity, unit)}</span> in{' '}
            <span className="number">{line.bin}</span>, {line.store}: <BatchName batch={line} today={today} link />
          </li>
        ))}
      </ul>
      <p>
        <Link href={paths.partBatches(partId)} prefetch={false}>
          Batches, used up ones too, and where they went
        </Link>
      </p>
    </section>
  )
}
