import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { figureRead } from '@/lib/db/figure.ts'
import { type DraftRow, type DraftState, draftsList } from '@/lib/db/page-desk-read.ts'
import { readingsSettle } from '@/lib/db/page-reading.ts'
import { readerWarmed } from './_reader.ts'
import { putBackPage } from './actions.ts'
import { BringForm } from './bring.tsx'
import { DeskWatch } from './watch.tsx'

export const metadata = { title: 'Page desk' }

const SAYS: Record<DraftState, [shape: string, words: string]> = {
  waiting: ['○', 'waits to be read'],
  reading: ['◔', 'being read'],
  ready: ['◆', 'to be put right'],
  failed: ['▲', 'not read'],
  published: ['●', 'in the parts book'],
  dropped: ['✕', 'dropped'],
}

export default async function DeskPage({ searchParams }: { searchParams: Promise<{ figure?: string }> }) {
  await signedInWith('catalogue.import')
  readerWarmed()
  await readingsSettle(new Date())
  const query = await searchParams
  const figure = query.figure ? await found(figureRead(idOf(query.figure), {})) : null
  const bare = figure?.callouts.length === 0
  const { open, done } = await draftsList()
  return (
    <main className="page stack" id="page">
      <div className="page-head">
        <div>
          {figure ? (
            <p className="over">
              <Link href={paths.figure(figure.model.id, figure.id)}>
                {figure.model.name}, figure {figure.number} {figure.title}
              </Link>
            </p>
          ) : null}
          <h1>{figure ? (bare ? 'Bring in its drawing' : 'Bring in a newer page') : 'Page desk'}</h1>
        </div>
        <Link className="button quiet" href={paths.figureImport()}>
          Bring in a picture with its JSON file
        </Link>
      </div>
      {figure && bare ? (
        <p>
          A photo, a scan or a PDF of the drawing is enough: where the page prints no list, the {figure.lines.length}{' '}
          lines of the book are laid beside it. You are shown what changes before it is published; jobs keep their
          lines.
        </p>
      ) : figure ? (
        <p>
          The page is read and put right as any other. Before it takes the place of edition {figure.edition} you are
          shown what changes; jobs keep the lines they were planned with.
        </p>
      ) : (
        <p>
          A page of a parts book comes in as a PDF, a scan or a photo. Its numbers and its list are read, you put right
          what was read wrongly, and nothing is in the parts book before you publish it.
        </p>
      )}
      <BringForm figureId={figure?.id ?? null} formKey={freshKey()} />
      <section className="stack tight" aria-labelledby="on-the-desk">
        <h2 id="on-the-desk">On the desk</h2>
        {open.length === 0 ? (
          <p className="empty">Nothing is waiting. Bring a page, and it lies here until it is published or dropped.</p>
        ) : (
          <DraftTable rows={open} label="Pages on the desk" />
        )}
      </section>
      {done.length > 0 ? (
        <details>
          <summary className="button">Published and dropped</summary>
          <DraftTable rows={done} label="Pages that were published or dropped" />
        </details>
      ) : null}
      <DeskWatch isReading={open.some((row) => row.state === 'waiting' || row.state === 'reading')} />
    </main>
  )
}

function DraftTable({ rows, label }: { rows: DraftRow[]; label: string }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">{label}</caption>
      <thead>
        <tr>
          <th scope="col">Page</th>
          <th scope="col">State</th>
          <th scope="col">Last changed</th>
          <th scope="col">
            <span className="visually-hidden">What next</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.id}>
            <td className="wide">
              <Link href={paths.draft(row.id)} prefetch={false}>
                {row.says || row.name}
                {row.pageCount > 1 ? `, page ${row.page} of ${row.pageCount}` : ''}
              </Link>
              {row.says ? <span className="soft small"> {row.name}</span> : null}
            </td>
            <td>
              <span aria-hidden="true">{SAYS[row.state][0]}</span> {SAYS[row.state][1]}
              {row.state === 'reading' ? ` (${Math.round(row.progress * 100)} %)` : ''}
            </td>
            <td className="small soft">
              {row.person}, <When at={row.changedAt} />
            </td>
            <td className="right">
              {row.state === 'dropped' ? (
                <ActionForm
                  action={putBackPage}
                  formKey={freshKey()}
                  submit="Put back"
                  submitClassName="button quiet"
                  hidden={{ draftId: row.id }}
                  aria-label={`Put page ${row.page} of ${row.name} back on the desk`}
                />
              ) : null}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
