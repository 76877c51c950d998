import { When } from '@/app/_parts/when.tsx'
import photosStyle from '@/app/jobs/[job]/photos.module.css'
import { PhotoPicture } from '@/app/jobs/[job]/photos.tsx'
import type { EntryContent } from '@/lib/job/service-book.ts'

/** Photos and hand-over notes of the job, as they stood when the entry was frozen. */
export function EntryFlow({ content }: { content: EntryContent }) {
  const { photos = [], notes = [] } = content
  return (
    <>
      {photos.length > 0 ? (
        <section className="stack tight">
          <h2>Photos</h2>
          <ul className={`plain-list ${photosStyle.photos}`}>
            {photos.map((photo) => (
              <li key={`${photo.digest} ${photo.stage} ${photo.step}`}>
                <PhotoPicture photo={photo} alt={photo.alt} />
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      {notes.length > 0 ? (
        <section className="stack tight">
          <h2>Hand-over notes</h2>
          <ul className="plain-list">
            {notes.map((note) => (
              <li key={`${note.at} ${note.text}`}>
                {note.text}{' '}
                <span className="small soft">
                  {note.by}, <When at={new Date(note.at)} time />
                </span>
              </li>
            ))}
          </ul>
        </section>
      ) : null}
    </>
  )
}
