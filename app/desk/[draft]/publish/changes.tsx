import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { EditionChanges } from '@/lib/db/figure-edition.ts'
import type { FigureFile } from '@/lib/figure/schema.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'

/** What a newer page changes, before it takes the place of the one in the book. */
export function Changes({ changes, file }: { changes: EditionChanges; file: FigureFile }) {
  const { diff, before, moved, stripDropped, stripKept, jobs } = changes
  const lineOf = new Map(before.map((line) => [line.lineId, line]))
  const nothing =
    diff.added.length + diff.removed.length + diff.numberChanged.length + diff.quantityChanged.length === 0 &&
    diff.renumbered.length + moved.length === 0
  return (
    <section className="stack" aria-labelledby="changes">
      <h2 id="changes">What changes</h2>
      {nothing ? <p>The list is the same; the drawing is replaced.</p> : null}
      <Part title="Part number changed" count={diff.numberChanged.length}>
        <p className="hint">
          Tick where the new number replaces the old one: stock of the old one is then offered where it still fits, and
          orders go to the new one. Leave it open where the page only corrects a misprint.
        </p>
        {diff.numberChanged.map(({ lineId, item, from, to }) => (
          <label className="tick" key={lineId}>
            <input type="checkbox" name="supersede[]" value={lineId} />
            <span>
              {item}: <span className="number">{from}</span> is superseded by <span className="number">{to}</span>
            </span>
          </label>
        ))}
        <p className="caution">
          Torque, threads and other facts of these joints are kept from the edition before. Check them against the
          maker’s manual before the next job.
        </p>
      </Part>
      <Part title="Quantity changed" count={diff.quantityChanged.length}>
        <ul>
          {diff.quantityChanged.map(({ lineId, item, from, to }) => {
            const unit = lineOf.get(lineId)?.unit ?? 'each'
            return (
              <li key={lineId}>
                {item}: {quantityFormat(from, unit)} becomes {quantityFormat(to, unit)}
              </li>
            )
          })}
        </ul>
      </Part>
      <Part title="Added" count={diff.added.length}>
        <ul>
          {diff.added.map((row) => (
            <li key={row}>
              {file.lines[row]!.item}: {file.lines[row]!.partNumber ?? 'no number printed'},{' '}
              {file.lines[row]!.description}
            </li>
          ))}
        </ul>
      </Part>
      <Part title="Removed" count={diff.removed.length}>
        <ul>
          {diff.removed.map((lineId) => (
            <li key={lineId}>
              {lineOf.get(lineId)?.item}: <span className="number">{lineOf.get(lineId)?.partNumber}</span>,{' '}
              {lineOf.get(lineId)?.description}
            </li>
          ))}
        </ul>
      </Part>
      <Part title="Item renumbered" count={diff.renumbered.length}>
        <ul>
          {diff.renumbered.map(({ lineId, from, to }) => (
            <li key={lineId}>
              {from} is now {to}
            </li>
          ))}
        </ul>
      </Part>
      <Part title="Stands elsewhere on the drawing" count={moved.length}>
        <p>{moved.join(', ')}</p>
      </Part>
      {stripKept + stripDropped.length > 0 ? (
        <p>
          {counted(stripKept, 'step')} of the strip order {stripKept === 1 ? 'goes' : 'go'} on.
          {stripDropped.length > 0
            ? ` These go, because an item of theirs is gone: ${stripDropped.map((edge) => `${edge.first} before ${edge.then}`).join(', ')}.`
            : ''}
        </p>
      ) : null}
      {jobs.length > 0 ? (
        <p className="caution">
          Open jobs renew a line that goes; they keep it as it was planned:{' '}
          {jobs.map((job, at) => (
            <span key={`${job.id} ${job.item}`}>
              {at > 0 ? ', ' : ''}
              <Link href={paths.job(job.id)}>job {job.number}</Link> (item {job.item})
            </span>
          ))}
          . Look at their parts before they are taken.
        </p>
      ) : null}
    </section>
  )
}

function Part({ title, count, children }: { title: string; count: number; children: React.ReactNode }) {
  if (count === 0) return null
  return (
    <div className="stack tight">
      <h3>
        {title} ({count})
      </h3>
      {children}
    </div>
  )
}
