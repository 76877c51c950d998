import Link from 'next/link'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { SavedViewRow } from '@/lib/db/saved-view.ts'
import { dropView, keepView } from './actions.ts'

/** Questions to the stock table that the person keeps, and the way to keep this one, which is asked at `address`. */
export function SavedViews({ views, address }: { views: readonly SavedViewRow[]; address: string }) {
  const query = address.split('?')[1] ?? ''
  return (
    <div className="row">
      {views.map((view) => (
        <Link
          key={view.id}
          className={view.query === query ? 'button' : 'button quiet'}
          aria-current={view.query === query ? 'page' : undefined}
          href={`${paths.shelf()}?${view.query}`}
          prefetch={false}
        >
          {view.name}
        </Link>
      ))}
      <details>
        <summary className="button quiet">Kept questions</summary>
        <div className="stack tight">
          {query === '' ? (
            <p className="small soft">Ask the table for something, then keep it here under a name.</p>
          ) : (
            <ActionForm
              action={keepView}
              formKey={freshKey()}
              submit="Keep"
              submitClassName="button"
              hidden={{ query }}
              aria-label="Keep this question"
            >
              <Field name="name" label="Keep what is asked now as" maxLength={60} autoComplete="off" />
            </ActionForm>
          )}
          {views.map((view) => (
            <ActionForm
              key={view.id}
              action={dropView}
              formKey={freshKey()}
              className=""
              submit={`Forget “${view.name}”`}
              submitClassName="button quiet"
              hidden={{ viewId: view.id }}
            />
          ))}
        </div>
      </details>
    </div>
  )
}
