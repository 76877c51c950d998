import { When } from '@/app/_parts/when.tsx'
import { Field, TextField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import { type NoteView, notesOf } from '@/lib/db/part-note.ts'
import { addNote, addNoteFile, removeNote } from './actions.ts'
import styles from './part.module.css'

/** Notes, pictures and documents that people keep with the part. */
export async function Notes({ partId, mayKeep }: { partId: number; mayKeep: boolean }) {
  const notes = await notesOf(partId)
  const now = notes.filter((note) => !note.removed)
  const before = notes.filter((note) => note.removed)
  return (
    <section className="stack tight" aria-labelledby="notes">
      <h2 id="notes">Notes, pictures, documents</h2>
      {now.length === 0 ? <p className="soft">Nothing is kept with this part.</p> : null}
      {now.length > 0 ? (
        <ul className={`plain-list ${styles.notes}`}>
          {now.map((note) => (
            <li key={note.id} className="stack tight">
              <Note note={note} />
              {mayKeep ? (
                <ActionForm
                  action={removeNote}
                  formKey={freshKey()}
                  className=""
                  hidden={{ noteId: note.id }}
                  submit={
                    <>
                      Take off<span className="visually-hidden"> {note.text.slice(0, 60)}</span>
                    </>
                  }
                  submitClassName="button quiet"
                />
              ) : null}
            </li>
          ))}
        </ul>
      ) : null}
      {mayKeep ? (
        <div className="row">
          <details>
            <summary className="button quiet">Write a note</summary>
            <ActionForm action={addNote} formKey={freshKey()} submit="Keep the note" hidden={{ partId }}>
              <TextField name="text" label="Note" rows={3} />
            </ActionForm>
          </details>
          <details>
            <summary className="button quiet">Add a picture or PDF</summary>
            <ActionForm action={addNoteFile} formKey={freshKey()} submit="Keep it" hidden={{ partId }}>
              <Field
                name="file"
                type="file"
                required
                label="Picture or PDF"
                hint="PNG, JPEG, WebP, TIFF, SVG; a PDF of at most 20 MB."
                accept=".png,.jpg,.jpeg,.webp,.tif,.tiff,.svg,.pdf"
              />
              <Field name="text" label="What it shows" autoComplete="off" />
            </ActionForm>
          </details>
        </div>
      ) : null}
      {before.length > 0 ? (
        <details>
          <summary className="button quiet">Taken off before: {before.length}</summary>
          <ul className={`plain-list ${styles.notes}`}>
            {before.map((note) => (
              <li key={note.id} className="stack tight">
                <Note note={note} />
                <p className="small soft">
                  Taken off by {note.removed!.by}, <When at={note.removed!.at} />
                </p>
              </li>
            ))}
          </ul>
        </details>
      ) : null}
    </section>
  )
}

function Note({ note }: { note: NoteView }) {
  return (
    <>
      {note.picture ? (
        <a href={paths.picture(note.picture)}>
          <img
            src={paths.picture(note.picture)}
            alt={note.text}
            width={note.picture.width}
            height={note.picture.height}
            className={styles.picture}
            loading="lazy"
          />
        </a>
      ) : null}
      <p>
        {note.text}
        {note.document ? (
          <>
            {' '}
            <a href={paths.document(note.id)} download={note.document.fileName} className={styles.document}>
              {note.document.fileName}
            </a>{' '}
            <span className="soft small">PDF, {Math.max(1, Math.round(note.document.bytes / 1000))} kB</span>
          </>
        ) : null}
      </p>
      <p className="small soft">
        {note.by}, <When at={note.at} />
      </p>
    </>
  )
}
