import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { type PageQuery, queryId, queryText } from '@/app/_parts/query.ts'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { modelRead } from '@/lib/db/machine.ts'
import { itemsOfModel, type ScheduleView, schedulesOf } from '@/lib/db/service-schedule.ts'
import { mayDo } from '@/lib/people/role.ts'
import { everySays, toleranceSays } from '@/lib/service/due-text.ts'
import { retireSchedule } from './actions.ts'
import { LineForms } from './line-forms.tsx'
import { Lines } from './lines.tsx'
import { ScheduleForm } from './schedule-form.tsx'

export const metadata = { title: 'Services of a model' }

/** How often the machines of a model are serviced, and what each service asks for. */
export default async function ModelServicesPage({
  params,
  searchParams,
}: {
  params: Promise<{ model: string }>
  searchParams: PageQuery
}) {
  const who = await signedIn()
  const model = await found(modelRead(idOf((await params).model)))
  const query = await searchParams
  const [schedules, items] = await Promise.all([schedulesOf(model.id), itemsOfModel(model.id)])
  const mayPlan = mayDo(who.roles, 'service.plan')
  return (
    <main className="page stack loose" id="page">
      <div>
        <p className="over">
          <Link href={paths.model(model.id)}>Parts book</Link>, {model.kind}
        </p>
        <h1>
          Services of {model.maker} {model.name}
        </h1>
        <p className="soft">The intervals of the maker’s manual come first; shorten them where the work is hard.</p>
      </div>
      {schedules.length === 0 ? (
        <p className="empty">
          Nothing planned yet. {mayPlan ? 'Give the first service a name and say how often it comes.' : null}
        </p>
      ) : null}
      {schedules.map((schedule) => (
        <section key={schedule.id} className="stack" aria-labelledby={`service-${schedule.id}`}>
          <div>
            <h2 id={`service-${schedule.id}`}>{schedule.name}</h2>
            <p className="soft">
              {everySays(schedule)}
              {toleranceSays(schedule)}
            </p>
            <p>
              <Link href={paths.printSchedule(model.id, schedule.id)} prefetch={false}>
                Print a blank sheet<span className="visually-hidden"> of the {schedule.name}</span>
              </Link>
            </p>
          </div>
          <Lines schedule={schedule} modelId={model.id} mayPlan={mayPlan} />
          {mayPlan ? (
            <>
              <LineForms
                schedule={schedule}
                modelId={model.id}
                items={items}
                search={queryId(query.schedule) === schedule.id ? queryText(query.q) : null}
              />
              <Change schedule={schedule} modelId={model.id} />
            </>
          ) : null}
        </section>
      ))}
      {mayPlan ? (
        <section className="stack tight" aria-labelledby="new-service">
          <h2 id="new-service">Another service</h2>
          <ScheduleForm modelId={model.id} schedule={null} />
        </section>
      ) : null}
    </main>
  )
}

function Change({ schedule, modelId }: { schedule: ScheduleView; modelId: number }) {
  return (
    <details>
      <summary className="button quiet">
        Change how often<span className="visually-hidden"> the {schedule.name} comes</span>
      </summary>
      <div className="stack">
        <ScheduleForm modelId={modelId} schedule={schedule} />
        <ActionForm
          action={retireSchedule}
          formKey={freshKey()}
          submit={`Give up the ${schedule.name}`}
          submitClassName="button quiet"
          hidden={{ scheduleId: schedule.id }}
        >
          <p className="soft">Nothing falls due by it then. What was done stays in the service books.</p>
        </ActionForm>
      </div>
    </details>
  )
}
