/**
 * What does not hang on the width is tried at one: rights, paper and lists at the desk; two phones at one job, counting, batches and
 * the ends of a shaft at the width they are used at. Every screen is looked at at the narrow one, and most in the walks at the wide one.
 */
export const AT_DESK = [
  'roles',
  'stock-office',
  'prints',
  'manager',
  'levels',
  'exchange',
  'rules',
  'catalogue',
  'figure-tests',
  'strip-order',
  'services',
  'order-plan',
  'prices',
  'winter',
  'orders',
  'desk',
  'stores',
] as const
export const ON_PHONE = [
  'screens',
  'scan',
  'two-people',
  'ends',
  'count',
  'needed',
  'search',
  'old-units',
  'batch',
  'weight',
] as const

/** What the phone shows in a way of its own: axe looks at it there too. Other walks at both widths it follows at the desk. */
export const OWN_ON_PHONE = ['viewer', ...ON_PHONE] as const

export const specsOf = (names: readonly string[]): string[] => names.map((name) => `**/${name}.spec.ts`)
