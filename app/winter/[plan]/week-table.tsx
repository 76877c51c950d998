import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { hoursSay } from '@/lib/measure/work-hours.ts'
import { loadSays, type WeekLoad } from '@/lib/winter/load.ts'
import type { WinterView } from '@/lib/winter/view.ts'
import { chanceWords, waitSays } from '@/lib/winter/words.ts'
import styles from '../winter.module.css'
import { PartsState } from './state.tsx'

/** "30 Nov" */
const dayShort = (day: string) =>
  new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', timeZone: 'UTC' }).format(new Date(day))

/** What each week has of hours and bays; null where the plan counts machines. */
type Loads = ReadonlyMap<string, WeekLoad> | null

/** Machines down, weeks across: what is missing where. On a phone the weeks stand below one another instead (`WeekList`). */
export function WeekTable({ planId, view, loads }: { planId: number; view: WinterView; loads: Loads }) {
  return (
    <section className={styles.table} aria-labelledby="weeks">
      <h2 id="weeks">Machines and weeks</h2>
      <div className="scroll-x">
        <table className={`parts ${styles.weeks}`}>
          <thead>
            <tr>
              <th scope="col">Machine</th>
              <th scope="col" className="right">
                Ready now
              </th>
              <th scope="col" className="right">
                With the list
              </th>
              {view.weeks.map(({ on, isShut, room, machines }) => (
                <th scope="col" key={on} className={isShut ? styles.shut : undefined}>
                  {dayShort(on)}
                  <br />
                  <span className="soft">
                    {isShut ? 'shut' : loads ? loadSays(loads.get(on)!) : `${machines.length} of ${room}`}
                  </span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {view.machines.map((machine) => (
              <tr key={machine.id}>
                <th scope="row">
                  <Link href={paths.winterMachine(planId, machine.id)} prefetch={false}>
                    {machine.fleetNumber}
                  </Link>{' '}
                  <span className="soft">{machine.name}</span>
                  {machine.waits === null ? null : (
                    <>
                      <br />
                      <span className="small">{waitSays(machine.waits)}</span>
                    </>
                  )}
                </th>
                <td className="right">{machine.now === null ? '…' : chanceWords(machine.now)}</td>
                <td className="right">{machine.bought === null ? '…' : chanceWords(machine.bought)}</td>
                {view.weeks.map(({ on, isShut }) => (
                  <td key={on} className={isShut ? styles.shut : undefined}>
                    {machine.weekOn !== on ? null : machine.now === null ? (
                      '…'
                    ) : (
                      <PartsState work={{ now: machine.now, lacks: machine.lacks }} />
                    )}
                    <GoesOn load={loads?.get(on)} machineId={machine.id} />
                    {machine.weekOn === on && machine.why === 'by-hand' ? (
                      <>
                        <br />
                        <span className="soft small">by hand</span>
                      </>
                    ) : null}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="soft small">
        {loads ? 'Of each week the hours planned of those that people give, and the bays in use. ' : null}■ all its
        parts are there, ◧ a part may lack (the chance that none does), ▲ parts that lack for certain.
      </p>
    </section>
  )
}

function GoesOn({ load, machineId }: { load: WeekLoad | undefined; machineId: number }) {
  const here = load?.goOn.find(({ id }) => id === machineId)
  return here === undefined ? null : <span className="soft small">goes on, {hoursSay(here.minutes)}</span>
}
