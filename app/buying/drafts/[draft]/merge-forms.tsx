import Link from 'next/link'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { DraftListed, DraftView } from '@/lib/db/order-draft-read.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mergeDraft } from './actions.ts'

/** Other drafts of the same supplier, each to be taken into this one: one order, one carriage. */
export function MergeForms({ draft, others }: { draft: DraftView; others: readonly DraftListed[] }) {
  if (others.length === 0) return null
  return (
    <section className="stack tight" aria-labelledby="others">
      <h2 id="others">Also for {draft.supplier.name}</h2>
      <ul className="plain-list stack tight">
        {others.map((other) => (
          <li key={other.id} className="row">
            <Link href={paths.orderDraft(other.id)} prefetch={false}>
              Draft {other.id}
            </Link>
            <span>{counted(other.lines, 'line')}</span>
            <ActionForm
              action={mergeDraft}
              formKey={freshKey()}
              hidden={{
                ...{ draftId: draft.id, version: draft.version },
                ...{ fromId: other.id, fromVersion: other.version },
              }}
              submit={`Take in draft ${other.id}`}
              submitClassName="button"
              aria-label={`Take in draft ${other.id}`}
            />
          </li>
        ))}
      </ul>
    </section>
  )
}
