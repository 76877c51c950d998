import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { NeedView } from '@/lib/db/job-read.ts'
import { type NeedRow, positionsSay } from '@/lib/job/need-rows.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { replaceNeed } from '../actions.ts'

/** Parts that do the same work by supersession and lie on the shelf; of a row with several lines each is put in its place. */
export function Instead({ row, jobId }: { row: NeedRow<NeedView>; jobId: number }) {
  return row.needs
    .filter((need) => need.part !== null && need.taken === 0)
    .flatMap((need) =>
      need.instead.map((other) => {
        const places = row.needs.length > 1 && need.positions.length > 0 ? ` for ${positionsSay(need.positions)}` : ''
        return (
          <ActionForm
            key={`${need.id} ${other.id}`}
            action={replaceNeed}
            formKey={freshKey()}
            className=""
            submit={`Use ${other.number}${places} instead (${other.says}, ${quantityFormat(other.available, need.unit)} on shelf)`}
            submitClassName="button quiet"
            hidden={{ jobId, needId: need.id, partId: other.id }}
          />
        )
      }),
    )
}
