import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { AlternativeView } from '@/lib/db/alternative.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { standIn } from '../actions.ts'

/** Approved alternatives that lie on the shelf for a line the shelf cannot give. */
export function Alternatives(props: {
  jobId: number
  needId: number
  /** What the shelf cannot give, minor units. */
  short: number
  others: readonly AlternativeView[]
  mayTake: boolean
}) {
  const { jobId, needId, short, mayTake } = props
  const others = props.others.filter((other) => other.serves && other.available > 0)
  return others.map((other) => (
    <div key={other.id} className="stack tight">
      <p className="small">
        {quantityFormat(other.available, other.unit)} of alternative{' '}
        <Link href={paths.part(other.partId)} className="number" prefetch={false}>
          {other.number}
        </Link>{' '}
        {other.description} on shelf, approved by {other.approvedBy}, <When at={other.approvedAt} />: {other.reason}
      </p>
      {mayTake ? (
        <ActionForm
          action={standIn}
          formKey={freshKey()}
          className=""
          submit={`Put ${quantityFormat(Math.min(short, other.available), other.unit)} x ${other.number} on the pick list instead`}
          submitClassName="button"
          hidden={{ jobId, needId, alternativeId: other.id }}
        />
      ) : null}
    </div>
  ))
}
