import { type CautionStage, cautionsFor } from '@/lib/companion/cautions.ts'
import { jobCautionsInput } from '@/lib/db/job-read.ts'

/** What can hurt somebody at this step. It reminds; the maker's manual, local rules and qualified people rule. */
export async function Cautions({ jobId, stages }: { jobId: number; stages: CautionStage[] }) {
  const input = await jobCautionsInput(jobId)
  const cautions = stages.flatMap((stage) => cautionsFor(input, stage))
  if (cautions.length === 0) return null
  return (
    <section className="caution stack tight" aria-label="Cautions">
      <p className="strong">
        <span aria-hidden="true">⚠ </span>Before you go on
      </p>
      <ul>
        {cautions.map((caution) => (
          <li key={caution.id}>
            {caution.words} <span className="small soft">{caution.defers}</span>
          </li>
        ))}
      </ul>
    </section>
  )
}
