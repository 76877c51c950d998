import Link from 'next/link'
import { AfterRunList } from '@/app/_parts/after-run.tsx'
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
import { machineMeterNotes, machineRead } from '@/lib/db/machine.ts'
import { serviceBook } from '@/lib/db/service-book.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { meterLastSays } from '@/lib/machine/meter.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { readHours, setState } from './actions.ts'

export const metadata = { title: 'Machine' }

export default async function MachinePage({ params }: { params: Promise<{ machine: string }> }) {
  const who = await signedIn()
  const machine = await found(machineRead(idOf((await params).machine)))
  const [figures, open, book, notes, afterRun] = await Promise.all([
    figuresOfModel(machine.model.id),
    jobsList({ machineId: machine.id, state: 'open' }),
    serviceBook(machine.id, 30),
    machineMeterNotes(machine.id),
    afterRunOpen({ machineId: machine.id }),
  ])
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
        <nav className="row" aria-label="Something is wrong">
          {mayDo(who.roles, 'job.open') ? (
            <Link className="button primary" href={paths.jobNew({ machine: machine.id })}>
              Log a repair
            </Link>
          ) : null}
          <Link className="button" href={paths.machineFault(machine.id)} prefetch={false}>
            What may it be?
          </Link>
        </nav>
      </div>
      {machine.state === 'unsafe' ? (
        <p className="alert">
          <span className="strong">Unsafe, do not use.</span> {machine.stateReason}
        </p>
      ) : null}
      <AfterRunList open={afterRun} mayWork={mayDo(who.roles, 'job.work')} />
      <section className="stack tight" aria-labelledby="jobs">
        <h2 id="jobs">Open jobs</h2>
        {open.length === 0 ? (
          <p className="soft">None.</p>
        ) : (
          <ul className="plain-list stack tight">
            {open.map((job) => (
              <li key={job.id}>
                <Link href={paths.job(job.id)}>Job {job.number}</Link>: {job.complaint}
                {job.waiting > 0 ? <span className="badge"> waits for parts</span> : null}
              </li>
            ))}
          </ul>
        )}
      </section>
      <section className="stack tight" aria-labelledby="book">
        <h2 id="book">Parts book</h2>
        {figures.length === 0 ? (
          <p className="soft">No figure of this model yet.</p>
        ) : (
          <ul className="plain-list columns">
            {figures.map((figure) => (
              <li key={figure.id}>
                <Link href={paths.figure(machine.model.id, figure.id, { machine: machine.id })}>
                  <span className="number">{figure.number}</span> {figure.title}
                </Link>
              </li>
            ))}
          </ul>
        )}
      </section>
      <section className="stack" aria-labelledby="service-book">
        <h2 id="service-book">Service book</h2>
        {book.length === 0 ? (
          <p className="soft">Nothing written yet. Closing a job writes its entry here.</p>
        ) : (
          <ol className="plain-list stack">
            {book.map((entry) => (
              <li key={entry.id} className="sheet">
                <h3>
                  <Link href={paths.serviceBookEntry(machine.id, entry.id)}>
                    <When at={entry.writtenAt} />
                    {entry.content.job ? `, job ${entry.content.job.number}` : ', correction'}
                  </Link>
                  {entry.hourTenths !== null ? (
                    <span className="soft small"> at {hoursFormat(entry.hourTenths)}</span>
                  ) : null}
                </h3>
                {entry.content.complaint ? <p className="soft">{entry.content.complaint}</p> : null}
                <p>{entry.content.correction}</p>
                {entry.content.fitted.length > 0 ? (
                  <p className="small">
                    {entry.content.fitted
                      .map(
                        (line) =>
                          `${quantityFormat(line.quantity, line.unit as StockUnit)} x ${line.partNumber} ${line.description}`,
                      )
                      .join('; ')}
                    {entry.content.partsCostMinor > 0
                      ? ` - ${moneyFormat(entry.content.partsCostMinor, entry.content.currency)}`
                      : ''}
                  </p>
                ) : null}
                {entry.correctedBy.length > 0 ? <p className="badge">has a correction</p> : null}
              </li>
            ))}
          </ol>
        )}
      </section>
      <div className="columns">
        {mayDo(who.roles, 'machine.hours') ? (
          <section className="stack tight" aria-labelledby="meter">
            <h2 id="meter">Hour meter</h2>
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
        ) : null}
        {mayDo(who.roles, 'machine.state') ? (
          <section className="stack tight" aria-labelledby="state">
            <h2 id="state">Safe to use?</h2>
            {machine.state === 'unsafe' ? (
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
          </section>
        ) : null}
      </div>
    </main>
  )
}
