import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { sourceRead } from '@/lib/db/page-desk-read.ts'
import { PAGES_AT_ONCE_MAX } from '@/lib/figure/desk-schema.ts'
import { counted } from '@/lib/measure/counted.ts'
import { readPages } from '../../actions.ts'
import styles from '../../desk.module.css'

export const metadata = { title: 'Choose pages' }

/** As many thumbnails as a screen or two holds; the rest is a step away. */
const CHUNK = 24

type Props = { params: Promise<{ source: string }>; searchParams: Promise<{ figure?: string; from?: string }> }

export default async function SourcePage({ params, searchParams }: Props) {
  await signedInWith('catalogue.import')
  const [{ source: id }, query] = [await params, await searchParams]
  const source = await found(sourceRead(id))
  const figure = query.figure ? idOf(query.figure) : undefined
  const from = Math.min(Math.max(1, query.from ? idOf(query.from) : 1), Math.max(1, source.pageCount))
  const to = Math.min(source.pageCount, from + CHUNK - 1)
  const taken = new Map(source.taken.map((one) => [one.page, one]))
  const chunk = (first: number) => paths.deskSource(source.id, { figure, from: first })
  return (
    <main className="page stack" id="page">
      <div className="page-head">
        <div>
          <p className="over">
            <Link href={paths.desk({ figure })}>Page desk</Link>
          </p>
          <h1>Choose pages</h1>
        </div>
        <p className="soft">
          {source.name}: {counted(source.pageCount, 'page')}
        </p>
      </div>
      <p>
        Tick the pages with a drawing and its parts list, at most {PAGES_AT_ONCE_MAX} at a time. Each becomes a figure.
      </p>
      <ActionForm
        action={readPages}
        formKey={freshKey()}
        submit="Read the ticked pages"
        submitClassName="button primary big"
        hidden={{ sourceId: source.id, ...(figure === undefined ? {} : { figureId: figure }) }}
        aria-label="Pages to read"
      >
        <ul className={`plain-list ${styles.pages}`}>
          {Array.from({ length: to - from + 1 }, (_, at) => from + at).map((page) => (
            <li key={page}>
              <label className={styles.thumb}>
                <img src={paths.deskThumbnail(source.id, page)} alt="" loading="lazy" width={180} height={240} />
                <span className="tick">
                  <input type="checkbox" name="pages[]" value={page} />
                  <span>Page {page}</span>
                </span>
              </label>
              {taken.has(page) ? (
                <Link className="small" href={paths.draft(taken.get(page)!.draftId)} prefetch={false}>
                  {taken.get(page)!.state === 'published' ? 'in the parts book' : 'on the desk'}
                </Link>
              ) : null}
            </li>
          ))}
        </ul>
      </ActionForm>
      {source.pageCount > CHUNK ? (
        <nav className="row" aria-label="More pages of the file">
          {from > 1 ? (
            <Link className="button" href={chunk(Math.max(1, from - CHUNK))}>
              Pages before
            </Link>
          ) : null}
          <span className="soft">
            Pages {from} to {to} of {source.pageCount}. Read what is ticked before you turn on.
          </span>
          {to < source.pageCount ? (
            <Link className="button" href={chunk(to + 1)}>
              Pages after
            </Link>
          ) : null}
        </nav>
      ) : null}
    </main>
  )
}
