import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { modelsList } from '@/lib/db/machine.ts'
import { type DraftView, draftRead } from '@/lib/db/page-desk-read.ts'
import { readingsSettle } from '@/lib/db/page-reading.ts'
import { dropPage, putBackPage, readAgain, stopReading } from '../actions.ts'
import { DeskEditor } from './editor.tsx'
import { ReadingProgress } from './progress.tsx'

export const metadata = { title: 'Page on the desk' }

export default async function DraftPage({ params }: { params: Promise<{ draft: string }> }) {
  await signedInWith('catalogue.import')
  await readingsSettle(new Date())
  const draft = await found(draftRead(idOf((await params).draft)))
  return (
    <main className="page stack" id="page">
      <div className="page-head">
        <div>
          <p className="over">
            <Link href={paths.desk()}>Page desk</Link>, {draft.name}
            {draft.pageCount > 1 ? `, page ${draft.page} of ${draft.pageCount}` : ''}
          </p>
          <h1>{HEADING[draft.state]}</h1>
        </div>
        {draft.figure && draft.state !== 'published' ? (
          <p className="badge">
            Newer page of{' '}
            <Link href={paths.figure(draft.figure.modelId, draft.figure.id)}>
              {draft.figure.model}, figure {draft.figure.number}
            </Link>
          </p>
        ) : null}
      </div>
      <DraftBody draft={draft} />
      {draft.state === 'ready' || draft.state === 'failed' ? (
        <details>
          <summary className="button quiet">Take the page off the desk</summary>
          <ActionForm
            action={dropPage}
            formKey={freshKey()}
            hidden={{ draftId: draft.id }}
            submit="Drop it"
            submitClassName="button"
            aria-label="Drop the page"
          >
            <p>
              What was put right is kept with it: the desk lists dropped pages, and there it can be put back for a week.
            </p>
          </ActionForm>
        </details>
      ) : null}
    </main>
  )
}

const HEADING: Record<DraftView['state'], string> = {
  waiting: 'Waiting to be read',
  reading: 'Reading the page',
  ready: 'Put the page right',
  failed: 'The page was not read',
  published: 'In the parts book',
  dropped: 'Dropped from the desk',
}

async function DraftBody({ draft }: { draft: DraftView }) {
  const hidden = { draftId: draft.id }
  if (draft.state === 'waiting' || draft.state === 'reading')
    return (
      <>
        <ReadingProgress
          address={paths.draftState(draft.id)}
          state={draft.state}
          progress={draft.progress}
          step={draft.step}
        />
        <p className="soft">You can leave this page: the reading goes on, and the desk shows when it is done.</p>
        <ActionForm
          action={stopReading}
          formKey={freshKey()}
          hidden={hidden}
          submit="Stop reading"
          submitClassName="button"
          aria-label="Stop the reading"
        />
      </>
    )
  if (draft.state === 'failed')
    return (
      <>
        <p className="alert">{draft.failure}</p>
        <ActionForm
          action={readAgain}
          formKey={freshKey()}
          hidden={hidden}
          submit="Read again"
          submitClassName="button primary big"
          aria-label="Read the page again"
        />
      </>
    )
  if (draft.state === 'published' && draft.figure)
    return (
      <p>
        It became{' '}
        <Link href={paths.figure(draft.figure.modelId, draft.figure.id)}>
          figure {draft.figure.number}, {draft.figure.title}
        </Link>{' '}
        of {draft.figure.model}.
      </p>
    )
  if (draft.state === 'dropped' || draft.draft === null || draft.viewId === null)
    return (
      <ActionForm
        action={putBackPage}
        formKey={freshKey()}
        hidden={hidden}
        submit="Put back on the desk"
        aria-label="Put the page back on the desk"
      />
    )
  const models = await modelsList()
  return (
    <>
      {draft.nothing ? (
        <p className="alert">
          No parts page was found here: {draft.nothing}. Set numbers and rows by hand, or take the page off the desk.
        </p>
      ) : null}
      <DeskEditor
        // A page that was read anew starts anew.
        key={`${draft.id} ${draft.viewId}`}
        draftId={draft.id}
        version={draft.version}
        draft={draft.draft}
        picture={paths.draftPicture(draft.id, draft.viewId)}
        renews={draft.figure ? { number: draft.figure.number, model: draft.figure.model } : null}
        models={models.map(({ id, maker, name, kind }) => ({ id, maker, name, kind }))}
      />
    </>
  )
}
