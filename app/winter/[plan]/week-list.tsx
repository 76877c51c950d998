import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import { hoursSay } from '@/lib/measure/work-hours.ts'
import type { WinterFacts } from '@/lib/winter/facts.ts'
import { loadSays, type WeekLoad } from '@/lib/winter/load.ts'
import type { MachineView, WinterView } from '@/lib/winter/view.ts'
import { chanceWords, waitSays } from '@/lib/winter/words.ts'
import { PartsState } from './state.tsx'

const LACKS_SHOWN = 5

interface ListProps {
  planId: number
  view: WinterView
  facts: WinterFacts
  /** What each week has of hours and bays; null where the plan counts machines. */
  loads: ReadonlyMap<string, WeekLoad> | null
}

/** The weeks below one another with the machines of each and what they lack by name. */
export function WeekList({ planId, view, facts, loads }: ListProps) {
  const machineOf = new Map(view.machines.map((machine) => [machine.id, machine]))
  const hoursOf = new Map(facts.machines.map(({ id, hours }) => [id, hours?.minutes]))
  const partOf = new Map(facts.parts.map((part) => [part.id, part]))
  return (
    <section className="stack" aria-labelledby="week-by-week">
      <h2 id="week-by-week">Week by week</h2>
      {view.without.length > 0 ? (
        <div className="caution stack tight">
          <h3>Without a week</h3>
          <Machines planId={planId} machines={view.without} partOf={partOf} hoursOf={hoursOf} />
        </div>
      ) : null}
      {view.weeks
        .filter(({ on, machines, isShut }) => machines.length > 0 || isShut || (loads?.get(on)?.goOn.length ?? 0) > 0)
        .map(({ on, machines, room, isShut }) => (
          <div key={on} className="stack tight">
            <h3>
              Week of <When at={on} />
              <span className="soft">
                {isShut ? ', shut' : `, ${loads ? loadSays(loads.get(on)!) : `${machines.length} of ${room}`}`}
              </span>
            </h3>
            <Machines planId={planId} machines={machines} partOf={partOf} hoursOf={hoursOf} />
            {(loads?.get(on)?.goOn ?? []).map(({ id, minutes }) => (
              <p key={id} className="small">
                {machineOf.get(id)?.fleetNumber} {machineOf.get(id)?.name} goes on, {hoursSay(minutes)}
              </p>
            ))}
          </div>
        ))}
    </section>
  )
}

interface MachinesProps {
  planId: number
  machines: readonly MachineView[]
  partOf: ReadonlyMap<number, { number: string; description: string }>
  /** Minutes; absent where the plan has no calendar. */
  hoursOf: ReadonlyMap<number, number | undefined>
}

function Machines({ planId, machines, partOf, hoursOf }: MachinesProps) {
  return (
    <ul className="plain-list stack tight">
      {machines.map((machine) => (
        <li key={machine.id}>
          <Link href={paths.winterMachine(planId, machine.id)} className="strong" prefetch={false}>
            {machine.fleetNumber} {machine.name}
          </Link>{' '}
          {machine.now === null ? null : <PartsState work={{ now: machine.now, lacks: machine.lacks }} />}
          {machine.now !== null && machine.bought !== null && machine.bought - machine.now > 0.005 ? (
            <span className="soft">, with the list {chanceWords(machine.bought)}</span>
          ) : null}
          {machine.waits === null ? null : <>, {waitSays(machine.waits)} whatever is bought</>}
          <br />
          <span className="small">
            {[
              ...[hoursOf.get(machine.id)].flatMap((minutes) => (minutes === undefined ? [] : [hoursSay(minutes)])),
              ...machine.services.map(({ name }) => name),
              ...machine.jobs.map(({ number }) => `job ${number}`),
              ...(machine.why === 'by-hand' ? ['week set by hand'] : []),
              ...(machine.why === 'before-parts' ? ['before all its parts can be there: later weeks are full'] : []),
            ].join(', ')}
          </span>
          {machine.lacks.length > 0 ? (
            <ul className="small">
              {machine.lacks.slice(0, LACKS_SHOWN).map(({ partId, now }) => (
                <li key={partId}>
                  {partOf.get(partId)?.number} {partOf.get(partId)?.description}:{' '}
                  {now === 0 ? 'lacks' : `${chanceWords(now)} that it does not lack`}
                </li>
              ))}
              {machine.lacks.length > LACKS_SHOWN ? <li>and {machine.lacks.length - LACKS_SHOWN} more</li> : null}
            </ul>
          ) : null}
        </li>
      ))}
    </ul>
  )
}
