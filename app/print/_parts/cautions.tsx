import { type Caution, type CautionStage, cautionsFor } from '@/lib/companion/cautions.ts'
import { jobCautionsInput } from '@/lib/db/job-read.ts'
import styles from './sheet.module.css'

/** What can hurt somebody at these steps of a job. */
export async function PrintedCautions({ jobId, stages }: { jobId: number; stages: readonly CautionStage[] }) {
  const input = await jobCautionsInput(jobId)
  const cautions = stages.flatMap((stage) => cautionsFor(input, stage))
  return <CautionFrame cautions={cautions} label={`Cautions, ${stages.join(' and ')}`} />
}

/** Framed, so that it stands out without colour. */
export function CautionFrame({ cautions, label }: { cautions: readonly Caution[]; label: string }) {
  if (cautions.length === 0) return null
  return (
    <section className={styles.caution} aria-label={label}>
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
