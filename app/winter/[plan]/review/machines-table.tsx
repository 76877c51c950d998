import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import { type MachineReview, machineSays } from '@/lib/winter/review-machine.ts'

/** The shape beside the words: a filled triangle asks for a look. */
const MARK: Record<MachineReview['state'], string> = {
  ready: '✓',
  waited: '▲',
  waits: '▲',
  'not-yet': '○',
  'not-done': '○',
}

export function MachinesTable({
  rows,
  numbers,
}: {
  rows: readonly MachineReview[]
  numbers: ReadonlyMap<number, string>
}) {
  const nameOf = (partId: number) => numbers.get(partId) ?? `part ${partId}`
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Machines of the plan</caption>
      <thead>
        <tr>
          <th scope="col">Machine</th>
          <th scope="col">Wanted by</th>
          <th scope="col">What became of it</th>
          <th scope="col">Job</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.machine.id}>
            <td className="wide">
              <Link href={paths.machine(row.machine.id)} prefetch={false}>
                {row.machine.fleetNumber} {row.machine.name}
              </Link>
              <br />
              <span className="soft small">{row.machine.services.join(', ')}</span>
            </td>
            <td className="wide" data-label="Wanted by">
              <When at={row.machine.wantedOn} />
            </td>
            <td className="wide">
              <span aria-hidden="true">{MARK[row.state]} </span>
              {machineSays(row, nameOf)}
            </td>
            <td className="wide">
              {row.job === null ? null : (
                <>
                  <Link href={paths.job(row.job.id)} prefetch={false}>
                    Job {row.job.number}
                  </Link>
                  <span className="small">
                    {row.job.closedOn === null ? (
                      ', open'
                    ) : (
                      <>
                        , closed <When at={row.job.closedOn} />
                      </>
                    )}
                  </span>
                </>
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
