import type { ActStage } from '@/lib/companion/rule-terms.ts'
import type { NeedGroup, NeedRow, RowNeed } from '@/lib/job/need-rows.ts'

export const STAGE_SAYS: Record<ActStage, string> = {
  bring: 'Have at hand',
  before: 'Before you start',
  apart: 'While it is apart',
  tighten: 'When you tighten',
  release: 'Before it goes out',
}

export const GROUP_SAYS: Record<NeedGroup, string> = {
  take: 'Take',
  consumables: 'Consumables',
  protect: 'Protect yourself',
  tools: 'Tools',
  do: 'Do',
}

/** What a row is about in a few words, for its buttons. */
export function rowSays(row: NeedRow<RowNeed>): string {
  return row.stage ? STAGE_SAYS[row.stage] : row.needs[0]!.description
}
