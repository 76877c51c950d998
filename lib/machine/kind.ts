/**
 * How a machine moves and is driven, as far as a safe stop asks: under its own engine, drawn with nothing turning, drawn or
 * mounted and driven by the tractor's shaft, or standing in one place.
 */
export type MachineDrive = 'engine' | 'drawn' | 'driven' | 'stationary'

/** Words of a model's kind, tried in this order: a "mower tractor" drives itself, a "sprayer trailer" is driven by the shaft. */
const WORDS: readonly [MachineDrive, RegExp][] = [
  [
    'engine',
    /\b(tractor|telehandler|loader|forklift|truck|self-propelled|ride-on|excavator|dumper|utility|platform)\b/,
  ],
  [
    'driven',
    /\b(mower|sprayer|shredder|chipper|mulcher|harrow|tiller|rotavator|spreader|auger|topper|driller|seeder)\b/,
  ],
  ['drawn', /\b(trailer|wagon|cart|bowser|trolley)\b/],
  ['stationary', /\b(pump|generator|compressor|conveyor|grader|saw|hoist|fan|dryer)\b/],
]

/** From the words a workshop gives the kind of a model; null where they tell nothing. Example: "tipping trailer" is drawn. */
export function machineDrive(kind: string): MachineDrive | null {
  const words = kind.toLowerCase()
  return WORDS.find(([, pattern]) => pattern.test(words))?.[0] ?? null
}
