import Link from 'next/link'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { Field, TextField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import { handOverRead } from '@/lib/db/job-hand-over.ts'
import { addNote, setLabour } from './actions.ts'

/** What one shift leaves to the next: notes, hours by person and day, and the jobs this one came from and led to. */
export async function HandOver({ jobId, mayWork }: { jobId: number; mayWork: boolean }) {
  const { notes, labour, foundOn, found } = await handOverRead(jobId)
  return (
    <>
      {foundOn ? (
        <p>
          Found on <Link href={paths.job(foundOn.id)}>job {foundOn.number}</Link>.
        </p>
      ) : null}
      {found.length > 0 ? (
        <section className="stack tight" aria-labelledby="found">
          <h2 id="found">Found on this job, a job of its own</h2>
          <ul className="plain-list">
            {found.map((job) => (
              <li key={job.id}>
                <Link href={paths.job(job.id)}>Job {job.number}</Link>
                {job.state === 'closed' ? ', closed' : ''}: {job.complaint}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      <section className="stack tight" aria-labelledby="hand-over">
        <h2 id="hand-over">Hand-over</h2>
        {notes.length === 0 ? <p className="soft">No notes.</p> : null}
        <ul className="plain-list stack tight">
          {notes.map((note) => (
            <li key={note.id}>
              {note.text}{' '}
              <span className="small soft">
                {note.by}, <When at={note.at} time />
              </span>
            </li>
          ))}
        </ul>
        {mayWork ? (
          <ActionForm
            action={addNote}
            formKey={freshKey()}
            submit="Leave the note"
            submitClassName="button"
            hidden={{ jobId }}
            aria-label="Hand-over note"
          >
            <TextField
              name="text"
              label="Note for whoever goes on"
              hint="How far it is, what is loose, what hangs on the crane. A note is not changed afterwards."
              rows={2}
            />
          </ActionForm>
        ) : null}
      </section>
      <section className="stack tight" aria-labelledby="labour">
        <h2 id="labour">Labour</h2>
        {labour.length > 0 ? (
          <table className="parts">
            <thead>
              <tr>
                <th scope="col">Day</th>
                <th scope="col">Who</th>
                <th scope="col" className="right">
                  Minutes
                </th>
              </tr>
            </thead>
            <tbody>
              {labour.map((row) => (
                <tr key={`${row.day} ${row.personId}`}>
                  <td>{row.day}</td>
                  <td>{row.by}</td>
                  <td className="right">{row.minutes}</td>
                </tr>
              ))}
              <tr>
                <td className="strong">Sum</td>
                <td />
                <td className="right strong">{labour.reduce((sum, row) => sum + row.minutes, 0)}</td>
              </tr>
            </tbody>
          </table>
        ) : (
          <p className="soft">Not written by person and day.</p>
        )}
        {mayWork ? (
          <ActionForm
            action={setLabour}
            formKey={freshKey()}
            submit="Keep my minutes"
            submitClassName="button"
            hidden={{ jobId }}
            aria-label="My labour"
          >
            <div className="row end">
              <Field name="day" type="date" label="Day" defaultValue={todayIs()} />
              <Field
                name="minutes"
                label="My minutes that day"
                hint="0 takes the day off."
                inputMode="numeric"
                className="input-number"
              />
            </div>
          </ActionForm>
        ) : null}
      </section>
    </>
  )
}
