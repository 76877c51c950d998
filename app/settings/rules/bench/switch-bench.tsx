'use client'

import type { RuleDraft } from '@/lib/companion/rule-form.ts'
import { BenchRun } from '../bench-run.tsx'

/** Past jobs with the present rules, or as if one of them were switched. */
export function SwitchBench(props: {
  draft: RuleDraft | null
  names: Record<string, string>
  from: string
  to: string
}) {
  const { draft, ...rest } = props
  return <BenchRun draftNow={() => draft} {...rest} />
}
