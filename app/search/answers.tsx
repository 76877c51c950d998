import Link from 'next/link'
import { StockState } from '@/app/_parts/stock-state.tsx'
import { UnsafeBadge } from '@/app/_parts/unsafe-badge.tsx'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import type { FigureHit, JobHit, MachineHit, PartHit } from '@/lib/db/search.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import type { Direction } from '@/lib/search/position.ts'

/** Why a part stands here, where its own number does not say so. */
function partNotes(part: PartHit, fit: ReadonlyMap<number, 'applies' | 'unknown'> | null): string[] {
  return [
    part.supplierNumber ? `${part.supplierNumber.number} of ${part.supplierNumber.supplier}` : '',
    part.alike ? 'another number than typed: compare it with the plate' : '',
    part.replaces ? `replaces ${part.replaces}` : '',
    part.replacedBy ? `replaced by ${part.replacedBy}` : '',
    fit?.get(part.id) === 'unknown' ? 'serial break cannot be told for this machine: check the parts book' : '',
  ].filter((note) => note !== '')
}

export function PartsFound(props: {
  title: string
  parts: readonly PartHit[]
  fit: ReadonlyMap<number, 'applies' | 'unknown'> | null
}) {
  if (props.parts.length === 0) return null
  return (
    <section className="stack tight">
      <h2>{props.title}</h2>
      <table className="parts fold">
        <thead>
          <tr>
            <th scope="col">Number</th>
            <th scope="col">Description</th>
            <th scope="col">Maker</th>
            <th scope="col">Stock</th>
          </tr>
        </thead>
        <tbody>
          {props.parts.map((part) => (
            <tr key={part.id}>
              <td className="number">
                <Link href={paths.part(part.id)}>{part.number}</Link>
              </td>
              <td>
                {part.description}
                {partNotes(part, props.fit).map((note) => (
                  <span key={note} className="small">
                    {' '}
                    <span className="badge">{note}</span>
                  </span>
                ))}
              </td>
              <td className="soft wide">{part.maker}</td>
              <td className="wide">
                <StockState stock={part} unit={part.unit as StockUnit} reorderPoint={part.reorderPoint} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** The figures; what was read as a position goes along to the job that is started from one, and so does the machine. */
export function FiguresFound(props: {
  figures: readonly FigureHit[]
  directions: readonly Direction[]
  machine: { id: number; modelId: number } | null
}) {
  const { figures, directions, machine } = props
  if (figures.length === 0) return null
  const of = (figure: FigureHit) =>
    paths.figure(figure.modelId, figure.id, {
      item: figure.item ?? undefined,
      side: directions.join(','),
      machine: machine?.modelId === figure.modelId ? machine.id : undefined,
    })
  return (
    <section className="stack tight">
      <h2>Figures</h2>
      <ul className="plain-list stack tight">
        {figures.map((figure) => (
          <li key={`${figure.modelId} ${figure.id}`}>
            <Link href={of(figure)}>
              {figure.number} {figure.title}
            </Link>{' '}
            <span className="soft">
              {figure.model}
              {figure.item === null ? '' : `, item ${figure.item} was opened most for it`}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}

export function MachinesFound({ machines }: { machines: readonly MachineHit[] }) {
  if (machines.length === 0) return null
  return (
    <section className="stack tight">
      <h2>Machines</h2>
      <ul className="plain-list stack tight">
        {machines.map((machine) => (
          <li key={machine.id}>
            <Link href={paths.machine(machine.id)}>
              {machine.fleetNumber} {machine.name}
            </Link>{' '}
            <span className="soft">
              {machine.model}
              {machine.serialNumber ? `, S/N ${machine.serialNumber}` : ''}
            </span>{' '}
            {machine.unsafe ? <UnsafeBadge /> : null}
          </li>
        ))}
      </ul>
    </section>
  )
}

/** Past jobs that tell of the same, with the callouts opened and the parts renewed on them. */
export function JobsFound({ jobs }: { jobs: readonly JobHit[] }) {
  if (jobs.length === 0) return null
  return (
    <section className="stack tight">
      <h2>Past jobs that tell of it</h2>
      <ul className="plain-list stack">
        {jobs.map((job) => (
          <li key={job.id} className="sheet stack tight">
            <p>
              <Link href={paths.job(job.id)}>
                Job {job.number}: {job.complaint}
              </Link>{' '}
              <span className="soft">
                <When at={job.openedAt} />, {job.fleetNumber} {job.machine}, {job.model}
                {job.state === 'open' ? ', still open' : ''}
              </span>
            </p>
            {job.cause === '' ? null : <p>Cause: {job.cause}</p>}
            {job.correction === '' ? null : <p>Correction: {job.correction}</p>}
            {job.callouts.length === 0 ? null : (
              <p>
                Opened:{' '}
                {job.callouts.map((callout, at) => (
                  <span key={`${callout.figureId} ${callout.item}`}>
                    {at > 0 ? '; ' : ''}
                    <Link href={paths.figure(callout.modelId, callout.figureId, { item: callout.item })}>
                      {callout.figure}, item {callout.item} {callout.description}
                    </Link>
                  </span>
                ))}
              </p>
            )}
            {job.renewed.length === 0 ? null : (
              <p>
                Renewed:{' '}
                {job.renewed.map((part, at) => (
                  <span key={part.partId}>
                    {at > 0 ? '; ' : ''}
                    {quantityFormat(part.quantity, part.unit as StockUnit)}{' '}
                    <Link href={paths.part(part.partId)}>
                      <span className="number">{part.number}</span> {part.description}
                    </Link>
                  </span>
                ))}
              </p>
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}
