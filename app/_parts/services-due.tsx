import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { servicesCount, servicesOf } from '@/lib/db/service-due.ts'
import { DUE_SHAPES } from '@/lib/service/due-text.ts'
import { ServiceState } from './service-state.tsx'
import { todayIs } from './today.ts'

const SHOWN = 6

/** Today's services: how many stand where, and the most pressing by name. Nothing where no model has a schedule. */
export async function ServicesDue() {
  const list = await servicesOf(todayIs())
  if (list.length === 0) return null
  const counts = servicesCount(list)
  const pressing = list.filter((one) => one.job === null && (one.due.state === 'overdue' || one.due.state === 'due'))
  return (
    <section className="stack tight" aria-labelledby="services">
      <h2 id="services">Services due</h2>
      <p>
        <Link href={paths.services()}>
          {(['overdue', 'due', 'soon'] as const)
            .map((state) => `${counts[state]} ${DUE_SHAPES[state].words}`)
            .join(', ')}
        </Link>
      </p>
      <ul className="plain-list stack tight">
        {pressing.slice(0, SHOWN).map(({ scheduleId, machine, name, due }) => (
          <li key={`${scheduleId} ${machine.id}`}>
            <Link href={paths.serviceOpen(machine.id)} prefetch={false}>
              {machine.fleetNumber} {machine.name}
            </Link>
            : {name} <ServiceState due={due} />
          </li>
        ))}
      </ul>
    </section>
  )
}
