import type { PartClass } from '../catalogue/part-class.ts'

/** How deep in an assembly a kind of part sits: 0 comes off first, 1 last. `weight` 0 to 1: how much the kind alone tells. */
export interface Layer {
  depth: number
  weight: number
}

/**
 * From outside to inside: wheels and covers, plugs, locks, screws and nuts, washers and rings, what turns and wears, shafts,
 * and last what all the rest is fitted to. Kinds that sit anywhere (a key, a gasket, a bush) tell little.
 * Source: common practice, no source.
 */
const LAYERS: readonly [depth: number, weight: number, ...kinds: PartClass[]][] = [
  [0.05, 1, 'wheel-nut', 'tyre', 'wheel'],
  [0.08, 1, 'cap', 'cover'],
  [0.1, 0.8, 'guard'],
  [0.15, 0.4, 'plug', 'grease-nipple', 'lock-wire'],
  [0.2, 0.6, 'split-pin', 'cotter', 'tab-washer', 'roll-pin', 'shear-bolt'],
  [0.25, 0.5, 'bolt', 'screw', 'nut', 'castle-nut', 'prevailing-torque-nut', 'knife-nut', 'bolt-beyond-yield'],
  [0.25, 0.5, 'hose-clamp'],
  [0.3, 0.4, 'washer', 'spring-washer', 'circlip', 'clevis-pin', 'knife-bolt'],
  [0.35, 0.4, 'v-belt', 'chain', 'hose', 'brake-drum', 'brake-pad', 'brake-cable', 'cable', 'fan', 'pulley'],
  [0.35, 0.4, 'sprocket', 'nozzle'],
  [0.45, 0.3, 'oil-seal', 'spring', 'return-spring', 'hold-down-spring', 'belt-tensioner', 'adjuster', 'filter'],
  [0.45, 0.3, 'valve'],
  [0.55, 0.4, 'hub', 'brake-shoe', 'brake-disc', 'bearing', 'gear', 'roller', 'joint-cross', 'wheel-cylinder'],
  [0.55, 0.4, 'clutch-plate', 'piston', 'lever'],
  [0.7, 0.4, 'bearing-cup', 'stud', 'wheel-stud'],
  [0.75, 0.6, 'shaft', 'pump'],
  [0.9, 0.9, 'rotor', 'brake-backplate', 'cylinder'],
  [1, 1, 'housing', 'axle'],
]

const OF_KIND = new Map<PartClass, Layer>(
  LAYERS.flatMap(([depth, weight, ...kinds]) => kinds.map((kind): [PartClass, Layer] => [kind, { depth, weight }])),
)
const ANYWHERE: Layer = { depth: 0.5, weight: 0.1 }

/** A page that was read names no kind; its words do. The first that fits counts. Source: common practice, no source. */
const WORDS: readonly [RegExp, Layer][] = [
  [/\bback ?(plate|ing plate)s?\b/i, { depth: 0.9, weight: 0.9 }],
  [/\b(split|cotter) ?pins?\b/i, { depth: 0.2, weight: 0.6 }],
  [/\b(bolt|screw|nut|capscrew)s?\b/i, { depth: 0.25, weight: 0.5 }],
  [/\b(washer|circlip|snap ring|retaining ring)s?\b/i, { depth: 0.3, weight: 0.4 }],
  [/\b(clip|clamp)s?\b/i, { depth: 0.2, weight: 0.5 }],
  [/\b(wheel|tyre|tire)s?\b/i, { depth: 0.05, weight: 0.8 }],
  [/\b(cover|cap|lid|hood|bonnet|door|shield|guard|panel)s?\b/i, { depth: 0.08, weight: 1 }],
  [/\b(plug|nipple)s?\b/i, { depth: 0.15, weight: 0.4 }],
  [/\b(belt|chain|hose|cable|pulley|sprocket|drum)s?\b/i, { depth: 0.35, weight: 0.4 }],
  [/\b(seal|spring|filter|valve)s?\b/i, { depth: 0.45, weight: 0.3 }],
  [/\b(bearing|gear|hub|piston|lever)s?\b/i, { depth: 0.55, weight: 0.4 }],
  [/\bstuds?\b/i, { depth: 0.7, weight: 0.4 }],
  [/\b(shaft|spindle)s?\b/i, { depth: 0.75, weight: 0.6 }],
  [
    /\b(bracket|frame|base|body|crankcase|casing|block|chassis|beam|pedestal|mounting)s?\b/i,
    { depth: 0.95, weight: 0.8 },
  ],
  [/\b(housing|axle|gearcase|barrel)s?\b/i, { depth: 1, weight: 1 }],
]

/** Where a part sits by its kind; by its words where the kind is not known, or is "guard", which names covers and back plates alike. */
export function layerOf(line: { partClass: PartClass; description: string }): Layer {
  if (line.partClass === 'guard' && WORDS[0]![0].test(line.description)) return WORDS[0]![1]
  if (line.partClass !== 'other') return OF_KIND.get(line.partClass) ?? ANYWHERE
  // "Cover screw", "cover, hub": the noun that the others describe stands last, or before the comma.
  const noun = line.description.split(/[,(]/)[0]!
  const found = WORDS.flatMap(([word, layer]) => {
    const at = [...noun.matchAll(new RegExp(word, 'gi'))].at(-1)?.index
    return at === undefined ? [] : [{ at, layer }]
  }).sort((a, b) => b.at - a.at)[0]
  return found?.layer ?? ANYWHERE
}

/** Kinds that come off to let something else go, though they stand below it in the list: no sub-part to be worked on later. */
const LET_GO = new Set<PartClass>([
  ...(['split-pin', 'cotter', 'tab-washer', 'roll-pin', 'shear-bolt', 'bolt', 'screw', 'nut', 'castle-nut'] as const),
  ...(['prevailing-torque-nut', 'knife-nut', 'knife-bolt', 'hose-clamp', 'bolt-beyond-yield', 'washer'] as const),
  ...(['spring-washer', 'circlip', 'clevis-pin', 'wheel-nut', 'lock-wire', 'plug', 'cap', 'cover', 'guard'] as const),
])

export function letsGo(line: { partClass: PartClass; description: string }): boolean {
  if (line.partClass !== 'other') return LET_GO.has(line.partClass)
  const { depth, weight } = layerOf(line)
  return weight >= 0.4 && depth <= 0.3
}
