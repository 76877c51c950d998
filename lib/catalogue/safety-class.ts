import type { PartClass } from './part-class.ts'

export type SafetyJoint = 'brake' | 'steering' | 'cutting' | 'pto'

/** Parts that a brake is made of: with one of them off it holds nothing. */
const BRAKE: readonly PartClass[] = [
  'brake-backplate',
  'brake-cable',
  'brake-disc',
  'brake-drum',
  'brake-pad',
  'brake-shoe',
  'wheel-cylinder',
]

const BY_CLASS: ReadonlyMap<PartClass, SafetyJoint> = new Map([
  ...BRAKE.map((partClass) => [partClass, 'brake'] as const),
  ['joint-cross', 'pto'] as const,
])

/** What a class belongs to by its name alone, where a list says nothing of its joint: a brake shoe is of the brake. */
export function classSafetyJoint(partClass: PartClass): SafetyJoint | undefined {
  return BY_CLASS.get(partClass)
}
