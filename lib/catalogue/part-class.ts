/** What kind of thing a part is. Companion rules, levels and search speak of classes; terms are the trade's own. */
export const PART_CLASSES = [
  'adjuster', 'axle', 'bearing', 'bearing-cup', 'belt-tensioner', 'blade', 'bolt', 'bolt-beyond-yield', 'brake-backplate', 'brake-cable',
  'brake-disc', 'brake-drum', 'brake-pad', 'brake-shoe', 'bush', 'cable', 'cap', 'castle-nut', 'chain', 'circlip', 'clevis-pin', 'clutch-plate', 'cotter',
  'cover', 'crush-washer', 'cylinder', 'diaphragm', 'electrical', 'fan', 'filter', 'flail-knife', 'fork', 'gasket', 'gear', 'grease-nipple', 'guard',
  'hold-down-spring', 'hose', 'hose-clamp', 'housing', 'hub', 'joint-cross', 'key', 'knife-bolt', 'knife-nut', 'lever', 'lock-wire', 'nozzle', 'nut', 'o-ring', 'oil-seal', 'pin',
  'piston', 'plug', 'prevailing-torque-nut', 'pulley', 'pump', 'return-spring', 'roll-pin', 'roller', 'rotor', 'screw', 'seal-kit', 'sealing-washer',
  'shaft', 'shear-bolt', 'shim', 'spacer', 'split-pin', 'spring', 'spring-washer', 'sprocket', 'stud', 'tab-washer', 'tyre', 'v-belt', 'valve',
  'washer', 'wheel', 'wheel-cylinder', 'wheel-nut', 'wheel-stud',
  // used up by work, not fitted
  'anti-seize', 'brake-cleaner', 'brake-paste', 'cleaner', 'coolant', 'gear-oil', 'engine-oil', 'hydraulic-oil', 'grease', 'sealant', 'thread-lock', 'wiping-cloth',
  // worn by the person
  'eye-protection', 'gloves', 'dust-mask',
  'other',
] as const
export type PartClass = (typeof PART_CLASSES)[number]
