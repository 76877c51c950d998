import { JOINTS } from '@/lib/catalogue/joint.ts'
import { PART_CLASSES } from '@/lib/catalogue/part-class.ts'
import { partClassWords } from '@/lib/companion/consumable.ts'
import type { RuleThen } from '@/lib/companion/rule.ts'
import { ACT_STAGES, FAMILIES, RULE_FACTS, STRENGTHS } from '@/lib/companion/rule-terms.ts'
import {
  FACT_SAYS,
  FAMILY_SAYS,
  FLUID_SAYS,
  FORMULA_SAYS,
  JOINT_SAYS,
  PER_SAYS,
  SAFETY_SAYS,
  STAGE_SAYS,
  STRENGTH_SAYS,
  THEN_SAYS,
  TORQUE_STATE_SAYS,
  WITHIN_SAYS,
} from '@/lib/companion/rule-words.ts'
import { MONTHS } from '@/lib/measure/date.ts'

export interface Choice {
  value: string
  says: string
}

const of = (table: Record<string, string>): Choice[] => Object.entries(table).map(([value, says]) => ({ value, says }))

/** What can be chosen in the form of a rule, as it is said. */
export const CHOICES = {
  classes: PART_CLASSES.map((value) => ({ value, says: partClassWords(value) })).sort((a, b) =>
    a.says.localeCompare(b.says),
  ),
  joints: JOINTS.map((value) => ({ value, says: JOINT_SAYS[value] })),
  safetyJoints: of(SAFETY_SAYS),
  facts: RULE_FACTS.map((value) => ({ value, says: FACT_SAYS[value] })),
  torqueStates: of(TORQUE_STATE_SAYS),
  fluids: of(FLUID_SAYS),
  families: FAMILIES.map((value) => ({ value, says: FAMILY_SAYS[value] })),
  strengths: STRENGTHS.map((value) => ({ value, says: STRENGTH_SAYS[value] })),
  whats: of({ target: 'is renewed', disturbed: 'comes off or is renewed' }),
  thens: of(THEN_SAYS) as { value: RuleThen['what']; says: string }[],
  withins: of(WITHIN_SAYS),
  pers: of(PER_SAYS),
  formulas: [{ value: '', says: 'the amount below' }, ...of(FORMULA_SAYS)],
  stages: [
    { value: '', says: 'as its group does' },
    ...ACT_STAGES.map((value) => ({ value, says: STAGE_SAYS[value] })),
  ],
  months: [{ value: '', says: 'all the year' }, ...MONTHS.map((says, at) => ({ value: String(at + 1), says }))],
  treatments: of({ oiled: 'oil', 'anti-seize': 'anti-seize', 'thread-lock': 'thread-lock' }),
}
