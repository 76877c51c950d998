import { When } from '@/app/_parts/when.tsx'
import type { LevelChangeKind, LevelChangeLine } from '@/lib/db/level-change.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'

const KINDS: Record<LevelChangeKind, string> = {
  hand: 'by hand',
  many: 'with many others',
  file: 'from a file',
  run: 'as reckoned',
}

/** Every change of the level, the newest first. */
export function Changes({ changes, unit }: { changes: readonly LevelChangeLine[]; unit: StockUnit }) {
  const says = (level: LevelChangeLine['to']) =>
    `${quantityFormat(level.reorderPoint, unit)}, up to ${quantityFormat(level.orderUpTo, unit)}`
  return (
    <section className="stack tight" aria-labelledby="changes">
      <h2 id="changes">How the level was changed</h2>
      {changes.length === 0 ? (
        <p className="soft">No change has been written down yet.</p>
      ) : (
        <table className="parts fold">
          <thead>
            <tr>
              <th scope="col">When</th>
              <th scope="col">Who</th>
              <th scope="col">From</th>
              <th scope="col">To</th>
              <th scope="col">Why</th>
            </tr>
          </thead>
          <tbody>
            {changes.map((change) => (
              <tr key={change.id}>
                <td>
                  <When at={change.at} />
                </td>
                <td className="wide" data-label="Who">
                  {change.by}, {KINDS[change.kind]}
                </td>
                <td className="wide" data-label="From">
                  {change.from ? says(change.from) : 'none'}
                </td>
                <td className="wide" data-label="To">
                  {says(change.to)}
                </td>
                <td className="wide small">{change.reason}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  )
}
