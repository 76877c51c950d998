import { queryText } from '@/app/_parts/query.ts'
import type { TargetKind } from '@/lib/demand/target-level.ts'

/** Shares in a hundred that may be asked for. */
export const SERVICES = [80, 90, 95, 98, 99] as const

export const KIND_WORDS: Record<TargetKind, string> = {
  fill: 'Pieces handed out at once',
  cycle: 'Months in which nobody waits',
}

export interface YearQuestion {
  kind: TargetKind
  /** 0.95 */
  service: number
  /** A class, or null for the whole shelf. */
  partClass: string | null
}

export function yearQuestion(asked: Record<string, string | string[] | undefined>): YearQuestion {
  const service = SERVICES.find((one) => String(one) === queryText(asked.service)) ?? 95
  const partClass = queryText(asked.class)
  return {
    kind: queryText(asked.kind) === 'cycle' ? 'cycle' : 'fill',
    service: service / 100,
    partClass: partClass === '' ? null : partClass,
  }
}
