/** What a rule can be said of and what it can say, apart from the schema: the screens take these words without it. */
export const STRENGTHS = ['must', 'should', 'consider'] as const
export type Strength = (typeof STRENGTHS)[number]

/** Families in the order a mechanic reads them: what is fitted, what goes on it, how it is done. */
export const FAMILIES = [
  'pair',
  'opposite',
  'set',
  'single-use',
  'treatment',
  'cleaning',
  'protection',
  'check',
  'torque',
] as const
export type Family = (typeof FAMILIES)[number]

/**
 * When an act is done, in the order of work: what is fetched, what makes it safe to begin, what is done while the machine is apart,
 * while it is tightened, and before it goes out.
 */
export const ACT_STAGES = ['bring', 'before', 'apart', 'tighten', 'release'] as const
export type ActStage = (typeof ACT_STAGES)[number]

/** Facts a rule may ask for; of the joint first, else of the part. */
export const RULE_FACTS = [
  'stations',
  'ends',
  'thread',
  'torqueNm',
  'splitPinHoleMm',
  'clevisPinMm',
  'fillLitres',
  'massKg',
  'matchedWith',
  'outsideMm',
  'widthMm',
] as const
export type RuleFact = (typeof RULE_FACTS)[number]
