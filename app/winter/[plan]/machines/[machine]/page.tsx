import type { Metadata } from 'next'
import Link from 'next/link'
import { notFound } from 'next/navigation'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { queryId } from '@/app/_parts/query.ts'
import { When } from '@/app/_parts/when.tsx'
import { SelectField } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { machinesList } from '@/lib/db/machine.ts'
import { winterSaid } from '@/lib/db/winter.ts'
import type { WinterStanding } from '@/lib/db/winter-run.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { hoursSay } from '@/lib/measure/work-hours.ts'
import { mayDo } from '@/lib/people/role.ts'
import { looksChances, wantChance } from '@/lib/winter/facts.ts'
import { hoursFrom } from '@/lib/winter/hours.ts'
import { loadSays, weekLoads } from '@/lib/winter/load.ts'
import { winterView } from '@/lib/winter/view.ts'
import { chanceWords, waitSays } from '@/lib/winter/words.ts'
import { setMachine } from '../../../actions.ts'
import { planOfAddress } from '../../plan-read.ts'
import { PartsState } from '../../state.tsx'

export const metadata: Metadata = { title: 'Machine in the winter plan' }

export default async function WinterMachinePage({ params }: { params: Promise<{ plan: string; machine: string }> }) {
  const who = await signedIn()
  const asked = await params
  const standing = await planOfAddress(asked.plan)
  const { plan, facts, planned, answer } = standing
  const machine = (await machinesList()).find(({ id }) => id === queryId(asked.machine))
  if (!machine) notFound()
  const view = winterView(facts, planned, answer)
  const here = view.machines.find(({ id }) => id === machine.id)
  const said = (await winterSaid(plan.id)).machines.find(({ machineId }) => machineId === machine.id)
  const loads = weekLoads(plan.work, planned, facts.today)
  const hours = facts.machines.find(({ id }) => id === machine.id)?.hours
  const spent = planned.places.find(({ id }) => id === machine.id)?.spent ?? []
  const mayPlan = mayDo(who.roles, 'winter.plan') && plan.endedAt === null
  return (
    <main className="page" id="page">
      <PageHead
        up={paths.winter(plan.id)}
        from={plan.name}
        about="what it takes, and when"
        title={`${machine.fleetNumber} ${machine.name}`}
      >
        <Link className="button" href={paths.machine(machine.id)} prefetch={false}>
          The machine
        </Link>
      </PageHead>
      <div className="stack loose">
        {here ? (
          <div className="stack tight">
            <p>
              {here.weekOn === null ? (
                'It has no week.'
              ) : (
                <>
                  Week of <When at={here.weekOn} />, parts wanted by <When at={here.wantedOn} />.
                </>
              )}{' '}
              {here.now === null || here.bought === null ? null : (
                <>
                  <PartsState work={{ now: here.now, lacks: here.lacks }} />: the chance that it waits for no part is{' '}
                  {chanceWords(here.now)}, with the list bought {chanceWords(here.bought)}.
                  {here.waits === null ? null : ` It ${waitSays(here.waits)} whatever is bought.`}
                </>
              )}
            </p>
            {hours === undefined ? null : (
              <p>
                It takes {hoursSay(hours.minutes)}
                {hours.booked > 0 ? ' more' : null}: {hoursFrom(hours)}.
                {spent.length > 1
                  ? ` Worked on in the weeks of ${spent.map(({ on, minutes }) => `${dateSays(on)} (${hoursSay(minutes)})`).join(', ')}.`
                  : null}
              </p>
            )}
            <ul>
              {here.services.map(({ name, dueOn }) => (
                <li key={name}>
                  {name}
                  {dueOn === null ? null : (
                    <>
                      , due <When at={dueOn} />
                    </>
                  )}
                </li>
              ))}
              {here.jobs.map(({ id, number }) => (
                <li key={id}>
                  <Link href={paths.job(id)} prefetch={false}>
                    Job {number}
                  </Link>
                  , open
                </li>
              ))}
            </ul>
          </div>
        ) : (
          <p>
            It does not come in:{' '}
            {said?.comes === 'out' ? 'it was left out.' : 'nothing of it falls due by the last day.'}
          </p>
        )}
        {mayPlan ? (
          <ActionForm
            action={setMachine}
            formKey={freshKey()}
            hidden={{ planId: plan.id, machineId: machine.id }}
            aria-label="When it comes in"
          >
            <div className="row end">
              <SelectField name="comes" label="Comes in" defaultValue={said?.comes ?? 'due'}>
                <option value="due">when something is due</option>
                <option value="in">in any case, for all its services</option>
                <option value="out">not this season</option>
              </SelectField>
              <SelectField name="weekOn" label="Week" defaultValue={said?.weekOn ?? ''}>
                <option value="">as proposed</option>
                {view.weeks
                  .filter(({ isShut }) => !isShut)
                  .map(({ on, machines, room }) => (
                    <option key={on} value={on}>
                      {dateSays(on)}, {loads ? loadSays(loads.get(on)!) : `${machines.length} of ${room}`}
                    </option>
                  ))}
              </SelectField>
              <SubmitButton>Keep</SubmitButton>
            </div>
          </ActionForm>
        ) : (
          <MayNot right="winter.plan" />
        )}
        {here ? <Wants machineId={machine.id} standing={standing} /> : null}
      </div>
    </main>
  )
}

/** What planned work and open jobs of the machine take, part by part. */
function Wants({ machineId, standing: { planned, answer, facts } }: { machineId: number; standing: WinterStanding }) {
  const works = planned.works.filter((work) => work.machineId === machineId && work.wants.length > 0)
  if (works.length === 0) return <p className="soft">It takes no part that is known beforehand.</p>
  const partOf = new Map(facts.parts.map((part) => [part.id, part]))
  const likely = looksChances(facts.looks)
  return (
    <section className="stack" aria-labelledby="wants">
      <h2 id="wants">What it takes</h2>
      {works.map((work) => {
        const lacks = new Map(answer?.works.find(({ id }) => id === work.id)?.lacks.map((one) => [one.partId, one]))
        return (
          <table className="parts fold" key={work.id}>
            <caption>{work.job === null ? 'Services' : `Job ${work.job.number}`}</caption>
            <thead>
              <tr>
                <th scope="col">Part number</th>
                <th scope="col">What</th>
                <th scope="col" className="right">
                  Quantity
                </th>
                <th scope="col">Needed</th>
                <th scope="col">Free, on order</th>
                <th scope="col">There</th>
              </tr>
            </thead>
            <tbody>
              {work.wants.map((want) => {
                const { partId, quantity, looks, text, goesWith } = want
                const part = partOf.get(partId)!
                const lack = lacks.get(partId)
                const coming = part.onOrder.reduce((sum, one) => sum + one.quantity, 0)
                return (
                  <tr key={`${partId} ${looks.join(' ')} ${text}`}>
                    <td>
                      <Link href={paths.part(partId)} className="number" prefetch={false}>
                        {part.number}
                      </Link>
                    </td>
                    <td className="wide">
                      {text}
                      {goesWith === undefined ? null : (
                        <>
                          <br />
                          <span className="soft small">{goesWith}</span>
                        </>
                      )}
                    </td>
                    <td className="right" data-label="Quantity">
                      {quantityFormat(quantity, part.unit)}
                    </td>
                    <td className="wide" data-label="Needed">
                      {looks.length === 0
                        ? 'in any case'
                        : `on condition, likely ${chanceWords(wantChance(want, (look) => likely.get(look)!))}`}
                    </td>
                    <td className="wide" data-label="Free, on order">
                      {quantityFormat(part.free, part.unit)}, {quantityFormat(coming, part.unit)}
                    </td>
                    <td className="wide" data-label="There">
                      {answer === null
                        ? '…'
                        : lack === undefined
                          ? 'yes'
                          : lack.now === 0
                            ? 'lacks'
                            : chanceWords(lack.now)}
                      {lack && lack.bought - lack.now > 0.005 ? `, with the list ${chanceWords(lack.bought)}` : ''}
                    </td>
                  </tr>
                )
              })}
            </tbody>
          </table>
        )
      })}
      <p className="soft small">
        What is free goes to the machines that come in sooner: the last column says how likely enough is left for this
        one. What goes with it is what the companion rules say must or should be renewed or used; what is only to be
        considered, and what has to be done, is worked out when its job is opened.
      </p>
    </section>
  )
}
