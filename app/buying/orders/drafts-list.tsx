import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { DraftStateSays } from '@/app/buying/draft-state.tsx'
import { paths } from '@/app/paths.ts'
import type { DraftListed } from '@/lib/db/order-draft-read.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import styles from '../buying.module.css'

/** Drafts as a table, newest first. */
export function DraftsList(props: { rows: readonly DraftListed[]; caption: string; limitMinor: number | null }) {
  const { rows, caption, limitMinor } = props
  return (
    <table className="parts fold">
      <caption className="visually-hidden">{caption}</caption>
      <thead>
        <tr>
          <th scope="col">Draft</th>
          <th scope="col">Supplier</th>
          <th scope="col">Stands</th>
          <th scope="col">Made</th>
          <th scope="col" className="right">
            Lines
          </th>
          <th scope="col" className="right">
            Goods
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((draft) => (
          <tr key={draft.id}>
            <td>
              <Link href={paths.orderDraft(draft.id)} prefetch={false}>
                Draft {draft.id}
              </Link>
              {draft.number === null ? null : <span className="small">, number {draft.number}</span>}
            </td>
            <td className="wide">{draft.supplier}</td>
            <td className="wide">
              <DraftStateSays
                state={draft.state}
                waits={draft.state === 'draft' && limitMinor !== null && (draft.homeMinor ?? 0) > limitMinor}
              />
            </td>
            <td className={`wide ${styles.money}`} data-label="Made">
              <When at={draft.createdAt} />, {draft.person}
            </td>
            <td className="right wide" data-label="Lines">
              {draft.lines}
            </td>
            <td className={`right wide ${styles.money}`} data-label="Goods">
              {moneyFormat(draft.goodsMinor, draft.currency)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
