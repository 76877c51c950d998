import { type EstatePart, estatePart, GOODS } from './part.ts'

const { chemicals, fluids, safety } = GOODS
const kg = { unit: 'kilogram' } as const
const litre = { unit: 'litre' } as const

/** What work uses up. Prices are for one stock unit: a kilogram, a litre, a can. */
export function consumables(): EstatePart[] {
  return [
    estatePart(chemicals, 'GR-101', 'Anti-seize paste, copper', 'anti-seize', 2_950, {
      ...kg,
      facts: { grade: 'copper' },
    }),
    estatePart(chemicals, 'GR-102', 'Anti-seize paste, nickel', 'anti-seize', 6_400, {
      ...kg,
      facts: { grade: 'nickel' },
    }),
    estatePart(chemicals, 'GR-103', 'Anti-seize paste, metal-free', 'anti-seize', 4_150, {
      ...kg,
      facts: { grade: 'metal-free' },
    }),
    estatePart(chemicals, 'GR-110', 'Brake paste, metal-free', 'brake-paste', 7_800, {
      ...kg,
      facts: { grade: 'metal-free' },
      criticality: 'vital',
    }),
    estatePart(chemicals, 'GR-120', 'Brake cleaner, can 500 ml', 'brake-cleaner', 340),
    estatePart(chemicals, 'GR-121', 'Degreaser, water-based', 'cleaner', 620, litre),
    estatePart(chemicals, 'GR-122', 'Contact cleaner, can 400 ml', 'cleaner', 590, { criticality: 'desirable' }),
    estatePart(chemicals, 'GR-131', 'Thread-lock, low strength', 'thread-lock', 38_000, {
      ...litre,
      facts: { grade: 'low' },
    }),
    estatePart(chemicals, 'GR-132', 'Thread-lock, medium strength', 'thread-lock', 36_500, {
      ...litre,
      facts: { grade: 'medium' },
      criticality: 'vital',
    }),
    estatePart(chemicals, 'GR-133', 'Thread-lock, high strength', 'thread-lock', 39_500, {
      ...litre,
      facts: { grade: 'high' },
    }),
    estatePart(chemicals, 'GR-140', 'Sealant, flange, anaerobic', 'sealant', 21_000, {
      ...kg,
      facts: { grade: 'anaerobic' },
    }),
    estatePart(chemicals, 'GR-141', 'Sealant, silicone, oil-resistant', 'sealant', 2_600, {
      ...kg,
      facts: { grade: 'silicone' },
    }),
    estatePart(fluids, 'TM-201', 'Grease, lithium, EP2', 'grease', 780, {
      ...kg,
      facts: { grade: 'lithium EP2' },
      criticality: 'vital',
    }),
    estatePart(fluids, 'TM-202', 'Grease, bearing, high temperature', 'grease', 1_640, {
      ...kg,
      facts: { grade: 'polyurea' },
    }),
    estatePart(fluids, 'TM-203', 'Grease, calcium, water-resistant', 'grease', 1_120, {
      ...kg,
      facts: { grade: 'calcium' },
    }),
    estatePart(fluids, 'TM-301', 'Engine oil, 15W-40', 'engine-oil', 410, {
      ...litre,
      facts: { grade: '15W-40' },
      criticality: 'vital',
    }),
    estatePart(fluids, 'TM-302', 'Engine oil, 10W-40', 'engine-oil', 520, { ...litre, facts: { grade: '10W-40' } }),
    estatePart(fluids, 'TM-311', 'Gear oil, 80W-90', 'gear-oil', 540, { ...litre, facts: { grade: '80W-90' } }),
    estatePart(fluids, 'TM-312', 'Gear oil, ISO VG 220', 'gear-oil', 590, { ...litre, facts: { grade: 'VG 220' } }),
    estatePart(fluids, 'TM-321', 'Hydraulic oil, ISO VG 46', 'hydraulic-oil', 360, {
      ...litre,
      facts: { grade: 'VG 46' },
      criticality: 'vital',
    }),
    estatePart(fluids, 'TM-322', 'Transmission and hydraulic oil', 'hydraulic-oil', 470, {
      ...litre,
      facts: { grade: 'universal' },
    }),
    estatePart(fluids, 'TM-331', 'Pump oil, diaphragm pump', 'engine-oil', 690, {
      ...litre,
      facts: { grade: 'SAE 30' },
    }),
    estatePart(fluids, 'TM-341', 'Coolant, ready mixed', 'coolant', 390, litre),
    estatePart(safety, 'HC-401', 'Wiping cloth', 'wiping-cloth', 12),
    estatePart(safety, 'HC-410', 'Gloves, cut-resistant, pair', 'gloves', 640),
    estatePart(safety, 'HC-411', 'Gloves, nitrile, pair', 'gloves', 22),
    estatePart(safety, 'HC-420', 'Eye protection, clear', 'eye-protection', 380),
    estatePart(safety, 'HC-430', 'Dust mask, FFP3', 'dust-mask', 210),
  ]
}
