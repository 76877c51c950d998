import type { PartClass } from '../catalogue/part-class.ts'

/** Classes that a suggestion may reach for though no figure lists them; the same as an open job looks through. */
export const CONSUMABLE_CLASSES_KEPT: ReadonlySet<PartClass> = new Set<PartClass>([
  'split-pin',
  'anti-seize',
  'brake-cleaner',
  'brake-paste',
  'cleaner',
  'coolant',
  'gear-oil',
  'engine-oil',
  'hydraulic-oil',
  'grease',
  'sealant',
  'thread-lock',
  'wiping-cloth',
  'eye-protection',
  'gloves',
  'dust-mask',
])
