import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { figuresOfModel } from '@/lib/db/figure.ts'
import { modelRead } from '@/lib/db/machine.ts'
import { figuresSharedWith } from '@/lib/db/model-figure.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { addMachine } from './actions.ts'
import styles from './book.module.css'

export const metadata = { title: 'Parts book' }

export default async function PartsBookPage({
  params,
  searchParams,
}: {
  params: Promise<{ model: string }>
  searchParams: Promise<{ machine?: string; job?: string }>
}) {
  const who = await signedIn()
  const { model: modelParam } = await params
  const query = await searchParams
  const model = await found(modelRead(idOf(modelParam)))
  const figures = await figuresOfModel(model.id)
  const shared = await figuresSharedWith(
    figures.map((figure) => figure.id),
    model.id,
  )
  const hand = {
    machine: query.machine ? idOf(query.machine) : undefined,
    job: query.job ? idOf(query.job) : undefined,
  }
  return (
    <main className="page stack" id="page">
      <div className="page-head">
        <div>
          <p className="over">Parts book, {model.kind}</p>
          <h1>
            {model.maker} {model.name}
          </h1>
        </div>
        <p className="soft">
          {model.machines.length === 0 ? 'No machine of this model in the fleet' : `In the fleet: `}
          {model.machines.map((machine, at) => (
            <span key={machine.id}>
              {at > 0 ? ', ' : ''}
              <Link href={paths.machine(machine.id)}>{machine.fleetNumber}</Link>
            </span>
          ))}
        </p>
      </div>
      {figures.length === 0 ? (
        <p className="empty">
          No figures yet. <Link href={paths.desk()}>Read a page</Link> of its parts book, or{' '}
          <Link href={paths.figureImport()}>bring in a picture with its JSON file</Link>.
        </p>
      ) : (
        <ul className={`plain-list ${styles.figures}`}>
          {figures.map((figure) => (
            <li key={figure.id}>
              <Link href={paths.figure(model.id, figure.id, hand)} className={styles.figure} prefetch={false}>
                <img src={paths.picture(figure.picture)} alt="" loading="lazy" />
                <span className={styles.caption}>
                  <span className="number">{figure.number}</span> {figure.title}
                  <span className="soft small"> {counted(figure.lines, 'line')}</span>
                  {(shared.get(figure.id) ?? []).map((other) => (
                    <span key={other.modelId} className={`soft small ${styles.shared}`}>
                      also in {other.model}, figure {other.number}
                    </span>
                  ))}
                </span>
              </Link>
            </li>
          ))}
        </ul>
      )}
      {mayDo(who.roles, 'catalogue.import') ? (
        <p>
          <Link className="button" href={paths.modelAttach(model.id)} prefetch={false}>
            Use a figure of another model
          </Link>
        </p>
      ) : null}
      {mayDo(who.roles, 'catalogue.import') ? (
        <details>
          <summary className="button">Enter a machine of this model</summary>
          <ActionForm action={addMachine} formKey={freshKey()} submit="Enter it" hidden={{ modelId: model.id }}>
            <Field name="fleetNumber" label="Fleet number" autoComplete="off" />
            <Field name="name" label="Name" hint="What people call it." autoComplete="off" />
            <Field
              name="serialNumber"
              label="Serial number"
              hint="Off its plate; without it every line of the parts list is shown."
              autoComplete="off"
            />
            <Field name="year" label="Year" inputMode="numeric" className="input-number" autoComplete="off" />
          </ActionForm>
        </details>
      ) : null}
    </main>
  )
}
