import Link from 'next/link'
import { Fragment } from 'react'
import { paths } from '@/app/paths.ts'
import type { InDraft } from '@/lib/db/order-draft-read.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'

/** What of a part stands in drafts: it is on order from nobody yet. */
export function InDrafts({ drafts, unit }: { drafts: readonly InDraft[]; unit: StockUnit }) {
  if (drafts.length === 0) return null
  return (
    <span className="small">
      {drafts.map(({ draftId, quantity, supplier }, at) => (
        <Fragment key={draftId}>
          {at > 0 ? '; ' : ''}
          {quantityFormat(quantity, unit)} in{' '}
          <Link href={paths.orderDraft(draftId)} prefetch={false}>
            draft {draftId}
          </Link>{' '}
          for {supplier}, not sent
        </Fragment>
      ))}
    </span>
  )
}
