import type { Right } from '@/lib/people/role.ts'

/** Whoever has one of these finds Settings in the main navigation. */
export const SETTING_RIGHTS: readonly Right[] = [
  'people.manage',
  'search.words',
  'rules.change',
  'stock.approve',
  'catalogue.import',
]
