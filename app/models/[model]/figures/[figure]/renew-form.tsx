'use client'

import { ActionForm } from '@/app/_server/form.tsx'
import { addTarget } from './actions.ts'
import type { DeskLine } from './desk-line.ts'
import { TargetFields } from './target-fields.tsx'

export interface RenewFormProps {
  line: DeskLine
  figureId: number
  positions: { code: string; label: string }[]
  meant: string[]
  job: { id: number; number: number }
  formKey: string
}

/** Takes a part on the job in hand. Loaded only where there is a job: most people who look at a figure have none. */
export default function RenewForm({ line, figureId, positions, meant, job, formKey }: RenewFormProps) {
  return (
    <ActionForm
      action={addTarget}
      formKey={formKey}
      submit={`Renew on job ${job.number}`}
      hidden={{ jobId: job.id, figureId, lineId: line.lineId }}
      aria-label={`Renew item ${line.item} on job ${job.number}`}
    >
      <TargetFields
        positions={positions}
        meant={meant}
        stations={line.stations}
        ends={line.ends}
        perAssembly={line.quantity}
        unit={line.unit}
      />
    </ActionForm>
  )
}
