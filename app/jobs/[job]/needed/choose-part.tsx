import Link from 'next/link'
import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { NeedView } from '@/lib/db/job-read.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { chooseNeed } from '../actions.ts'

/** The rules ask for a kind of part, and nothing on file is known to fit: the person says which one serves. */
export function ChoosePart({ need, jobId, query }: { need: NeedView; jobId: number; query: string }) {
  return (
    <section className="sheet stack tight" aria-labelledby="choose">
      <h2 id="choose">Which part serves?</h2>
      <p>
        {quantityFormat(need.suggested, need.unit)} x {need.description}. Look in the machine's manual for grade and
        size: nothing on file is known to fit.
      </p>
      <PartPicker
        query={query}
        action={paths.jobNeeded(jobId)}
        keeps={{ need: need.id }}
        pick={(part) => (
          <ActionForm
            action={chooseNeed}
            formKey={freshKey()}
            className=""
            submit={`This one serves: ${part.number}`}
            submitClassName="button"
            hidden={{ jobId, needId: need.id, partId: part.id }}
          />
        )}
      />
      <p>
        <Link href={paths.jobNeeded(jobId)}>Leave it open</Link>
      </p>
    </section>
  )
}
