import Link from 'next/link'
import { machinesOfFigure } from '@/lib/db/figure-browse.ts'
import { isRefusal, type Refusal } from '@/lib/refusal.ts'

/** The answer of a read, or the refusal of a machine whose parts book has no such figure. */
export async function orOtherModel<T>(read: Promise<T>): Promise<T | Refusal> {
  try {
    return await read
  } catch (error) {
    if (isRefusal(error) && error.code === 'figure/other-model') return error
    throw error
  }
}

/** In place of a figure for a machine that does not have it: why, and the machines that do. */
export async function OtherModel(props: { refusal: Refusal; figureId: number; href: (machineId: number) => string }) {
  const machines = await machinesOfFigure(props.figureId)
  return (
    <main className="page narrow stack" id="page">
      <h1>A machine of another model</h1>
      <div className="alert" role="alert">
        <p className="strong">{props.refusal.happened}</p>
        <p>{machines.length > 0 ? props.refusal.next : 'No machine of the fleet has this figure in its parts book.'}</p>
      </div>
      <ul className="plain-list stack tight">
        {machines.map((machine) => (
          <li key={machine.id}>
            <Link className="button" href={props.href(machine.id)} prefetch={false}>
              {machine.fleetNumber} {machine.name}
            </Link>
          </li>
        ))}
      </ul>
    </main>
  )
}
