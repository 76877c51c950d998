import { type CautionStage, cautionsFor } from '@/lib/companion/cautions.ts'
import { jobCautionsInput } from '@/lib/db/job-read.ts'
import styles from './sheet.module.css'

/** What can hurt somebody at this step, framed, so that it stands out without colour. */
export async function PrintedCautions({ jobId, stages }: { jobId: number; stages: readonly CautionStage[] }) {
  const input = await jobCautionsInput(jobId)
  const cautions = stages.flatMap((stage) => cautionsFor(input, stage))
  if (cautions.length === 0) return null
  return (
    <section className={styles.caution} aria-label={`Cautions, ${stages.join(' and ')}`}>
      <p>
        <span aria-hidden="true">⚠ </span>Before you go on
      </p>
      <ul>
        {cautions.map((caution) => (
          <li key={caution.id}>
            {caution.words} {caution.defers}
          </li>
        ))}
      </ul>
    </section>
  )
}
