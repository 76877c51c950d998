import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { MeterField } from '@/app/_parts/meter-field.tsx'
import { queryText } from '@/app/_parts/query.ts'
import { ServiceState } from '@/app/_parts/service-state.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { TickGroup } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { machineRead } from '@/lib/db/machine.ts'
import { servicesOf } from '@/lib/db/service-due.ts'
import { jobsToJoin } from '@/lib/db/service-job.ts'
import { meterLastSays } from '@/lib/machine/meter.ts'
import { openServiceJob } from './actions.ts'

export const metadata = { title: 'Open the service job' }

/** What is due on a machine and what else was told of it, to tick into one job. */
export default async function ServiceOpenPage({
  searchParams,
}: {
  searchParams: Promise<{ machine?: string | string[] }>
}) {
  await signedInWith('job.open')
  const machine = await found(machineRead(idOf(queryText((await searchParams).machine))))
  const [list, open] = await Promise.all([servicesOf(todayIs(), machine.id), jobsToJoin(machine.id)])
  const free = list.filter((one) => one.job === null)
  const toJoin = open.filter((one) => one.why === null)
  const alone = open.filter((one) => one.why !== null)
  // What is due or soon is done in one go; with nothing due the person says which.
  const ticked = free.filter(({ due }) => due.state !== 'not-due' && due.state !== 'no-start')
  return (
    <main className="page narrow stack" id="page">
      <div>
        <p className="small soft">
          <Link href={paths.machine(machine.id)}>
            {machine.fleetNumber} {machine.name}
          </Link>
          , {machine.model.name}
        </p>
        <h1>Open the service job</h1>
      </div>
      {list
        .filter((one) => one.job !== null)
        .map((one) => (
          <p key={one.scheduleId}>
            {one.name} is at work: <Link href={paths.job(one.job!.id)}>job {one.job!.number}</Link>
          </p>
        ))}
      {free.length === 0 ? (
        list.length === 0 ? (
          <p className="empty">
            No service is planned for this model. <Link href={paths.modelServices(machine.model.id)}>Plan one</Link>.
          </p>
        ) : null
      ) : (
        <ActionForm
          action={openServiceJob}
          formKey={freshKey()}
          submit="Open the service job"
          submitClassName="button primary big"
          hidden={{ machineId: machine.id }}
        >
          <TickGroup
            name="scheduleIds"
            legend="Services to do"
            ticked={ticked.map((one) => String(one.scheduleId))}
            options={free.map((one) => ({
              value: String(one.scheduleId),
              label: (
                <>
                  {one.name} <ServiceState due={one.due} />
                </>
              ),
            }))}
          />
          {toJoin.length > 0 ? (
            <TickGroup
              name="joinJobIds"
              legend="Put right with it"
              options={toJoin.map((one) => ({
                value: String(one.id),
                label: `Job ${one.number}: ${one.complaint}`,
              }))}
            />
          ) : null}
          {alone.map((one) => (
            <p key={one.id} className="soft">
              <Link href={paths.job(one.id)}>Job {one.number}</Link>: {one.complaint}. Stays by itself: {one.why}.
            </p>
          ))}
          <MeterField
            label="Hour meter"
            hint={`Last reading: ${meterLastSays({ hourTenths: machine.hourTenths, at: machine.readAt })}`}
          />
        </ActionForm>
      )}
    </main>
  )
}
