import Link from 'next/link'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { machinesList } from '@/lib/db/machine.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { counted } from '@/lib/measure/counted.ts'

export const metadata = { title: 'Machines' }

export default async function MachinesPage() {
  await signedIn()
  const machines = await machinesList()
  return (
    <main className="page stack" id="page">
      <div className="page-head">
        <h1>Machines</h1>
        <div className="row">
          <Link className="button" href={paths.models()}>
            Parts books
          </Link>
          <Link className="button" href={paths.labels({ of: 'machine' })} prefetch={false}>
            Labels
          </Link>
        </div>
      </div>
      {machines.length === 0 ? (
        <p className="empty">
          No machines yet. <Link href={paths.figureImport()}>Bring in a figure</Link> of a parts book: its model and a
          first machine can be entered with it. Or <Link href={paths.exchange()}>bring in a list of machines</Link>.
        </p>
      ) : (
        <table className="parts fold">
          <thead>
            <tr>
              <th scope="col">Fleet no.</th>
              <th scope="col">Machine</th>
              <th scope="col">Model</th>
              <th scope="col" className="right">
                Hours
              </th>
              <th scope="col">State</th>
            </tr>
          </thead>
          <tbody>
            {machines.map((machine) => (
              <tr key={machine.id}>
                <td className="number">
                  <Link href={paths.machine(machine.id)}>{machine.fleetNumber}</Link>
                </td>
                <td>{machine.name}</td>
                <td className="soft wide">
                  {machine.model.name}, {machine.model.kind}
                </td>
                <td className="right">{hoursFormat(machine.hourTenths)}</td>
                <td>
                  {machine.state === 'unsafe' ? <span className="badge unsafe">Unsafe, do not use</span> : null}
                  {machine.openJobs > 0 ? <span> {counted(machine.openJobs, 'open job')}</span> : null}
                  {machine.state !== 'unsafe' && machine.openJobs === 0 ? <span className="soft">working</span> : null}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </main>
  )
}
