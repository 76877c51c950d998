import Link from 'next/link'
import { redirect } from 'next/navigation'
import { found, idOf } from '@/app/_parts/found.ts'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { draftRead } from '@/lib/db/page-desk-read.ts'
import { draftReview } from '@/lib/db/page-publish.ts'
import { counted } from '@/lib/measure/counted.ts'
import { publishPage, renewFigure } from '../../actions.ts'
import { Changes } from './changes.tsx'

export const metadata = { title: 'Publish a page' }

export default async function PublishPage({ params }: { params: Promise<{ draft: string }> }) {
  await signedInWith('catalogue.import')
  const draft = await found(draftRead(idOf((await params).draft)))
  if (draft.state !== 'ready' || draft.draft === null) redirect(paths.draft(draft.id))
  const { checked, looks, there, parts, changes } = await draftReview(draft.id)
  const { head, rows, callouts } = draft.draft
  const items = new Map([...rows, ...callouts].map((one) => [one.id, one.item]))
  const isClear = checked.file !== null && there === null
  return (
    <main className="page narrow stack" id="page">
      <div className="page-head">
        <div>
          <p className="over">
            <Link href={paths.desk()}>Page desk</Link>, <Link href={paths.draft(draft.id)}>put the page right</Link>
          </p>
          <h1>{draft.figure ? 'Publish the newer page' : 'Publish the page'}</h1>
        </div>
      </div>
      <dl className="facts">
        <dt>Machine model</dt>
        <dd>
          {head.maker} {head.model} {head.modelId === null ? <span className="badge">new in the list</span> : null}
        </dd>
        <dt>Figure</dt>
        <dd>
          {head.number} {head.title}
          {draft.figure ? `, edition ${draft.figure.edition + 1}` : ''}
        </dd>
        <dt>Lines</dt>
        <dd>
          {checked.file?.lines.length ?? rows.length};{' '}
          {parts.known + parts.fresh === 0
            ? 'no part numbers are printed, so each line gets the figure’s number and its item'
            : `${parts.known} part numbers are in the catalogue, ${parts.fresh} are new`}
        </dd>
        <dt>Numbers</dt>
        <dd>{checked.file?.callouts.length ?? callouts.length} on the drawing</dd>
      </dl>
      {checked.faults.length > 0 ? (
        <div className="alert" role="alert">
          <p className="strong">
            {counted(checked.faults.length, 'fault')} {checked.faults.length === 1 ? 'stands' : 'stand'} in the way.
          </p>
          <ul>
            {checked.faults.map(({ id, words }) => (
              <li key={`${id} ${words}`}>
                {id === null ? '' : `Item ${items.get(id) || 'without a number'}, `}
                {words}
              </li>
            ))}
          </ul>
          <p>
            <Link href={paths.draft(draft.id)}>Go back and put them right</Link>: each stands at its row.
          </p>
        </div>
      ) : null}
      {there ? (
        <div className="alert" role="alert">
          <p>
            Figure {head.number} is in this parts book already:{' '}
            <Link href={paths.figure(there.modelId, there.id)}>{there.title}</Link>. Give the page{' '}
            <Link href={paths.draft(draft.id)}>another number</Link>, or say that it is a newer page of that figure.
          </p>
          <ActionForm
            action={renewFigure}
            formKey={freshKey()}
            submit="It is a newer page of that figure"
            submitClassName="button"
            hidden={{ draftId: draft.id, figureId: there.id }}
            aria-label="Newer page of that figure"
          />
        </div>
      ) : null}
      {looks > 0 ? (
        <p className="caution">
          {counted(looks, 'thing')} still to be looked at. A wrong part number is ordered and fitted as readily as a
          right one: compare them with the print first.
        </p>
      ) : null}
      {checked.warnings.length > 0 ? (
        <details open={checked.warnings.length <= 6}>
          <summary>{counted(checked.warnings.length, 'note')}</summary>
          <ul className="small">
            {checked.warnings.map((warning) => (
              <li key={warning}>{warning}</li>
            ))}
          </ul>
        </details>
      ) : null}
      {isClear ? (
        <ActionForm
          action={publishPage}
          formKey={freshKey()}
          hidden={{ draftId: draft.id, version: draft.version }}
          submit={draft.figure ? `Publish as edition ${draft.figure.edition + 1}` : 'Publish the figure'}
          submitClassName="button primary big"
          aria-label="Publish"
        >
          {changes && checked.file ? <Changes changes={changes} file={checked.file} /> : null}
        </ActionForm>
      ) : null}
    </main>
  )
}
