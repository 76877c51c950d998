import Link from 'next/link'
import { AfterRunList } from '@/app/_parts/after-run.tsx'
import { BookEntry } from '@/app/_parts/book-entry.tsx'
import { found, idOf } from '@/app/_parts/found.ts'
import { MeterField } from '@/app/_parts/meter-field.tsx'
import { SignatureField } from '@/app/_parts/signature-field.tsx'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { figuresOfModel } from '@/lib/db/figure.ts'
import { afterRunOpen } from '@/lib/db/job-check.ts'
import { jobsList } from '@/lib/db/job-read.ts'
import { type MachineRow, machineMeterNotes, machineRead } from '@/lib/db/machine.ts'
import { serviceBook } from '@/lib/db/service-book.ts'
import { type CostSoFar, serviceBookCost } from '@/lib/job/service-book.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { meterLastSays } from '@/lib/machine/meter.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import book from '../../models/[model]/book.module.css'
import { readHours, setState } from './actions.ts'
import styles from './machine.module.css'
import { MachineServices } from './services.tsx'

export const metadata = { title: 'Machine' }

/** The newest entries of the service book; the others are one press away. */
const ENTRIES_OPEN = 5
const YEAR_MS = 365.25 * 24 * 3600 * 1000

export default async function MachinePage({ params }: { params: Promise<{ machine: string }> }) {
  const who = await signedIn()
  const machine = await found(machineRead(idOf((await params).machine)))
  const [figures, open, entries, notes, afterRun] = await Promise.all([
    figuresOfModel(machine.model.id),
    jobsList({ machineId: machine.id, state: 'open' }),
    serviceBook(machine.id),
    machineMeterNotes(machine.id),
    afterRunOpen({ machineId: machine.id }),
  ])
  const costs = serviceBookCost(entries, new Date(Date.now() - YEAR_MS))
  return (
    <main className="page stack loose" id="page">
      <div className="page-head">
        <div>
          <p className="over">
            {machine.model.name}, {machine.model.kind}
          </p>
          <h1>
            <span className="number">{machine.fleetNumber}</span> {machine.name}
          </h1>
          <p>
            {machine.serialNumber ? `S/N ${machine.serialNumber}` : 'no serial number on file'}
            {machine.year ? `, ${machine.year}` : ''}, {hoursFormat(machine.hourTenths)}
          </p>
        </div>
      </div>
      <section className="stack tight" aria-labelledby="jobs">
        {machine.state === 'unsafe' ? (
          <p className="alert">
            <span className="strong">Unsafe, do not use.</span> {machine.stateReason}
          </p>
        ) : null}
        <AfterRunList open={afterRun} mayWork={mayDo(who.roles, 'job.work')} />
        <h2 id="jobs">Open jobs</h2>
        {open.length === 0 ? (
          <p className="soft">None.</p>
        ) : (
          <ul className="plain-list stack tight">
            {open.map((job) => (
              <li key={job.id}>
                <Link className={styles.job} href={paths.job(job.id)}>
                  Job {job.number}: {job.complaint}
                </Link>
                {job.waiting > 0 ? <span className="badge"> waits for parts</span> : null}
              </li>
            ))}
          </ul>
        )}
        <div className={styles.deeds}>
          {mayDo(who.roles, 'job.open') ? (
            <Link className="button primary" href={paths.jobNew({ machine: machine.id })}>
              Log a repair
            </Link>
          ) : null}
          <Link className="button" href={paths.machineFault(machine.id)} prefetch={false}>
            What may it be?
          </Link>
          <Link className="button" href={paths.labels({ of: 'machine', ids: String(machine.id) })} prefetch={false}>
            Label
          </Link>
          {mayDo(who.roles, 'machine.state') ? <SafeToUse key={machine.state} machine={machine} /> : null}
        </div>
      </section>
      <MachineServices machineId={machine.id} modelId={machine.model.id} />
      <section className="stack tight" aria-labelledby="book">
        <h2 id="book">Parts book</h2>
        {figures.length === 0 ? (
          <p className="soft">No figure of this model yet.</p>
        ) : (
          <ul className={`plain-list ${book.figures} ${styles.figures}`}>
            {figures.map((figure) => (
              <li key={figure.id}>
                <Link
                  href={paths.figure(machine.model.id, figure.id, { machine: machine.id })}
                  className={book.figure}
                  prefetch={false}
                >
                  <img src={paths.picture(figure.picture)} alt="" loading="lazy" />
                  <span className={book.caption}>
                    <span className="number">{figure.number}</span> {figure.title}
                  </span>
                </Link>
              </li>
            ))}
          </ul>
        )}
      </section>
      <section className="stack" aria-labelledby="service-book">
        <h2 id="service-book">Service book</h2>
        {entries.length === 0 ? (
          <p className="soft">Nothing written yet. Closing a job writes its entry here.</p>
        ) : (
          <ol className="plain-list stack">
            {entries.slice(0, ENTRIES_OPEN).map((entry) => (
              <BookEntry key={entry.id} entry={entry} machineId={machine.id} />
            ))}
          </ol>
        )}
        <p>
          <Link className="button" href={paths.serviceBook({ machine: machine.id })} prefetch={false}>
            Whole service book
          </Link>{' '}
          <Link className="button" href={paths.printServiceBook(machine.id)} prefetch={false}>
            Print the service book
          </Link>
        </p>
      </section>
      <div className="columns">
        <section className="stack tight" aria-labelledby="meter">
          <h2 id="meter">Hour meter</h2>
          {mayDo(who.roles, 'machine.hours') ? (
            <ActionForm
              action={readHours}
              formKey={freshKey()}
              submit="Write down"
              submitClassName="button"
              hidden={{ machineId: machine.id }}
            >
              <MeterField
                label="Reading"
                hint={`Last: ${meterLastSays({ hourTenths: machine.hourTenths, at: machine.readAt })}`}
              />
            </ActionForm>
          ) : (
            <p>{hoursFormat(machine.hourTenths)}</p>
          )}
          {notes.length > 0 ? (
            <ul className="plain-list small soft">
              {notes.map((note) => (
                <li key={`${note.at.toISOString()} ${note.hourTenths}`}>
                  {hoursFormat(note.hourTenths)} on <When at={note.at} />: {note.reason}
                </li>
              ))}
            </ul>
          ) : null}
        </section>
        {costs.length > 0 ? <Cost costs={costs} /> : null}
      </div>
    </main>
  )
}

/** Right under the open jobs: who finds the fault marks the machine before the next person starts it. */
function SafeToUse({ machine }: { machine: MachineRow }) {
  const isUnsafe = machine.state === 'unsafe'
  return (
    <details className={styles.safe}>
      <summary className="button">{isUnsafe ? 'Safe again?' : 'Not safe to use?'}</summary>
      {isUnsafe ? (
        <ActionForm
          action={setState}
          formKey={freshKey()}
          submit="Release it to work"
          submitClassName="button"
          hidden={{ machineId: machine.id, state: 'working' }}
        >
          <p className="soft">Only after the tests in the maker’s manual, by somebody qualified for it.</p>
          <SignatureField />
        </ActionForm>
      ) : (
        <ActionForm
          action={setState}
          formKey={freshKey()}
          submit="Mark as unsafe"
          submitClassName="button"
          hidden={{ machineId: machine.id, state: 'unsafe' }}
        >
          <Field name="reason" label="Why" />
        </ActionForm>
      )}
    </details>
  )
}

function Cost({ costs }: { costs: readonly CostSoFar[] }) {
  return (
    <section className="stack tight" aria-labelledby="cost">
      <h2 id="cost">Parts fitted, last 12 months</h2>
      {costs.map(({ currency, minor, jobs }) => (
        <p key={currency}>
          <span className="strong">{moneyFormat(minor, currency)}</span> in {counted(jobs, 'job')}
          <span className="soft">, without labour</span>
        </p>
      ))}
    </section>
  )
}
