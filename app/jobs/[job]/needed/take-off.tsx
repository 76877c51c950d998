import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { NeedView } from '@/lib/db/job-read.ts'
import { byNumberPart } from '@/lib/job/by-number.ts'
import type { NeedRow } from '@/lib/job/need-rows.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { takeOffNeed } from '../actions.ts'

/** Takes off again what was added by number. What a service asks for stays; the drawing's own pieces of the row stay too. */
export function TakeOff(props: { row: NeedRow<NeedView>; jobId: number; ofServices: ReadonlySet<number> }) {
  const { row, jobId, ofServices } = props
  return row.needs.flatMap((need) => {
    const partId = byNumberPart(need.key)
    if (partId === null || need.state !== 'accepted' || ofServices.has(partId)) return []
    const added = row.needs.length > 1 ? ` the ${quantityFormat(need.wanted, need.unit)} added by number` : ''
    return [
      <ActionForm
        key={need.id}
        action={takeOffNeed}
        formKey={freshKey()}
        className=""
        submit={
          <>
            Take{added} off the job<span className="visually-hidden">: {need.description}</span>
          </>
        }
        submitClassName="button quiet"
        hidden={{ jobId, needId: need.id }}
      />,
    ]
  })
}
