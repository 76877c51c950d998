import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { queryId } from '@/app/_parts/query.ts'
import { Field, TickGroup } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { costCentres } from '@/lib/db/cost-centre.ts'
import { machinesList } from '@/lib/db/machine.ts'
import { mayDo } from '@/lib/people/role.ts'
import { closeCentre, saveCentre, setMachines } from '../actions.ts'

export const metadata: Metadata = { title: 'Cost centre' }

export default async function CostCentrePage({ params }: { params: Promise<{ centre: string }> }) {
  const who = await signedIn()
  const id = queryId((await params).centre)
  const [centres, machines] = await Promise.all([costCentres(), machinesList()])
  const centre = centres.find((one) => one.id === id)
  if (!centre) notFound()
  const belongs = new Map(
    centres.flatMap(({ id: of, code, machines: all }) =>
      of === centre.id ? [] : all.map((machine) => [machine.id, code] as const),
    ),
  )
  const { code, name, isClosed } = centre
  const hidden = { centreId: centre.id }
  return (
    <main className="page narrow stack loose" id="page">
      <PageHead up={paths.costCentres()} from="Cost centres" title={`${code} ${name}`} />
      {isClosed ? <p className="caution">This cost centre is closed: it has no machine and gets no budget.</p> : null}
      {mayDo(who.roles, 'budget.keep') ? (
        <>
          {isClosed ? null : machines.length === 0 ? (
            <p className="empty">There is no machine yet.</p>
          ) : (
            <ActionForm
              action={setMachines}
              formKey={freshKey()}
              hidden={hidden}
              submit="Keep"
              aria-label="Its machines"
            >
              <TickGroup
                name="machineIds"
                legend="Machines of this cost centre"
                ticked={centre.machines.map((machine) => String(machine.id))}
                options={machines.map((machine) => ({
                  value: String(machine.id),
                  label: `${machine.fleetNumber} ${machine.name}${belongs.has(machine.id) ? `, now of ${belongs.get(machine.id)}` : ''}`,
                }))}
              />
            </ActionForm>
          )}
          <section className="sheet stack" aria-labelledby="words">
            <h2 id="words">Code and name</h2>
            <ActionForm
              action={saveCentre}
              formKey={freshKey()}
              hidden={hidden}
              submit="Keep"
              submitClassName="button"
              aria-label="Code and name"
            >
              <Field name="code" label="Code" maxLength={20} autoComplete="off" defaultValue={code} />
              <Field name="name" label="Name" maxLength={60} autoComplete="off" defaultValue={name} />
            </ActionForm>
          </section>
          <ActionForm
            action={closeCentre}
            formKey={freshKey()}
            hidden={hidden}
            submit={isClosed ? 'Open it again' : 'Close this cost centre'}
            submitClassName="button"
          />
        </>
      ) : (
        <>
          <p>{centre.machines.map(({ fleetNumber }) => fleetNumber).join(', ') || 'No machine'}</p>
          <MayNot right="budget.keep" />
        </>
      )}
    </main>
  )
}
