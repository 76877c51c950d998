import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { costCentres } from '@/lib/db/cost-centre.ts'
import { machinesList } from '@/lib/db/machine.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { addCentre } from './actions.ts'

export const metadata: Metadata = { title: 'Cost centres' }

export default async function CostCentresPage() {
  const who = await signedIn()
  const [centres, machines] = await Promise.all([costCentres(), machinesList()])
  const without = machines.length - centres.reduce((sum, centre) => sum + centre.machines.length, 0)
  return (
    <main className="page narrow stack loose" id="page">
      <PageHead up={paths.settings()} from="Settings" title="Cost centres" />
      <p>
        A cost centre has machines, and a budget for each winter plan. What is bought for several machines is shared by
        what each of them needs.
      </p>
      {centres.length === 0 ? (
        <p className="empty">No cost centre yet. Add the first one, then say which machines belong to it.</p>
      ) : (
        <>
          <ul className="plain-list stack">
            {centres.map(({ id, code, name, isClosed, machines: of }) => (
              <li key={id} className="sheet stack tight">
                <h2>
                  <Link href={paths.costCentre(id)} prefetch={false}>
                    <span className="number">{code}</span> {name}
                  </Link>{' '}
                  {isClosed ? <span className="badge">closed</span> : null}
                </h2>
                <p>
                  {of.length === 0
                    ? 'No machine'
                    : `${counted(of.length, 'machine')}: ${of.map(({ fleetNumber }) => fleetNumber).join(', ')}`}
                </p>
              </li>
            ))}
          </ul>
          <p className="soft">
            {without === 0 ? 'Every machine has one.' : `${counted(without, 'machine has', 'machines have')} none.`}
          </p>
        </>
      )}
      {mayDo(who.roles, 'budget.keep') ? (
        <section className="sheet stack" aria-labelledby="add">
          <h2 id="add">Add a cost centre</h2>
          <ActionForm action={addCentre} formKey={freshKey()} submit="Add" aria-label="Add a cost centre">
            <CentreFields />
          </ActionForm>
        </section>
      ) : (
        <MayNot right="budget.keep" />
      )}
    </main>
  )
}

function CentreFields() {
  return (
    <>
      <Field name="code" label="Code" hint="As your accounts have it, such as 410." maxLength={20} autoComplete="off" />
      <Field name="name" label="Name" maxLength={60} autoComplete="off" />
    </>
  )
}
