import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import type { WinterFacts } from '@/lib/winter/facts.ts'
import type { MachineView, WinterView } from '@/lib/winter/view.ts'
import { chanceWords, waitSays } from '@/lib/winter/words.ts'
import { PartsState } from './state.tsx'

const LACKS_SHOWN = 5

/** The weeks below one another with the machines of each and what they lack by name. */
export function WeekList({ planId, view, facts }: { planId: number; view: WinterView; facts: WinterFacts }) {
  const partOf = new Map(facts.parts.map((part) => [part.id, part]))
  return (
    <section className="stack" aria-labelledby="week-by-week">
      <h2 id="week-by-week">Week by week</h2>
      {view.without.length > 0 ? (
        <div className="caution stack tight">
          <h3>Without a week</h3>
          <Machines planId={planId} machines={view.without} partOf={partOf} />
        </div>
      ) : null}
      {view.weeks
        .filter(({ machines, isShut }) => machines.length > 0 || isShut)
        .map(({ on, machines, room, isShut }) => (
          <div key={on} className="stack tight">
            <h3>
              Week of <When at={on} />
              <span className="soft">{isShut ? ', shut' : `, ${machines.length} of ${room}`}</span>
            </h3>
            <Machines planId={planId} machines={machines} partOf={partOf} />
          </div>
        ))}
    </section>
  )
}

interface MachinesProps {
  planId: number
  machines: readonly MachineView[]
  partOf: ReadonlyMap<number, { number: string; description: string }>
}

function Machines({ planId, machines, partOf }: MachinesProps) {
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
