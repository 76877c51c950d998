import Link from 'next/link'
import { ScanMachine } from '@/app/_parts/scan/scan-machine.tsx'
import { paths } from '@/app/paths.ts'
import { DUE_STATES } from '@/lib/service/due.ts'
import { DUE_SHAPES } from '@/lib/service/due-text.ts'

/** Narrows the list of services; an ordinary form, so the address holds what was asked. */
export function ServicesFilter(props: {
  machines: readonly { id: number; fleetNumber: string; name: string }[]
  machineId: number | null
  state: string
}) {
  return (
    <search>
      <form action={paths.services()} className="row end">
        <ScanMachine>
          <div className="field">
            <label htmlFor="services-machine">Machine</label>
            <select id="services-machine" name="machine" defaultValue={props.machineId ?? ''}>
              <option value="">All machines</option>
              {props.machines.map((machine) => (
                <option key={machine.id} value={machine.id}>
                  {machine.fleetNumber} {machine.name}
                </option>
              ))}
            </select>
          </div>
        </ScanMachine>
        <div className="field">
          <label htmlFor="services-state">State</label>
          <select id="services-state" name="state" defaultValue={props.state}>
            <option value="">overdue, due and soon</option>
            {DUE_STATES.toReversed().map((state) => (
              <option key={state} value={state}>
                {DUE_SHAPES[state].words}
              </option>
            ))}
            <option value="all">all</option>
          </select>
        </div>
        <button type="submit" className="button">
          Show
        </button>
        {props.machineId !== null || props.state !== '' ? (
          <Link className="button quiet" href={paths.services()} prefetch={false}>
            Show what is due
          </Link>
        ) : null}
      </form>
    </search>
  )
}
