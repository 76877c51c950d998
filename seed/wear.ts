import type { PartClass } from '../lib/catalogue/part-class.ts'
import { type Random, randomWeibull } from '../lib/maths/random.ts'

/**
 * How long parts last in the demo: a Weibull life in running hours for each class. Shape 1 is chance (a stone, a snag);
 * above 1 the part wears out. Common practice, no source: the figures are only meant to look like an orchard's.
 */
export interface Wear {
  /** Characteristic life: 63.2 % have failed by then. */
  scaleHours: number
  shape: number
}

export const WEAR: Partial<Record<PartClass, Wear>> = {
  'flail-knife': { scaleHours: 150, shape: 1 },
  blade: { scaleHours: 220, shape: 1.4 },
  bush: { scaleHours: 1400, shape: 2 },
  bearing: { scaleHours: 2100, shape: 1.5 },
  'oil-seal': { scaleHours: 1500, shape: 1.6 },
  'o-ring': { scaleHours: 2600, shape: 1.3 },
  'v-belt': { scaleHours: 700, shape: 2.2 },
  'belt-tensioner': { scaleHours: 2600, shape: 1.6 },
  chain: { scaleHours: 1300, shape: 2 },
  sprocket: { scaleHours: 3000, shape: 2.4 },
  'brake-shoe': { scaleHours: 1100, shape: 2.4 },
  'brake-pad': { scaleHours: 1000, shape: 2.4 },
  'brake-drum': { scaleHours: 5200, shape: 2.4 },
  'brake-cable': { scaleHours: 1700, shape: 1.8 },
  'wheel-cylinder': { scaleHours: 2600, shape: 1.5 },
  'return-spring': { scaleHours: 3600, shape: 1.4 },
  adjuster: { scaleHours: 3200, shape: 1.5 },
  'clutch-plate': { scaleHours: 1900, shape: 2.2 },
  diaphragm: { scaleHours: 520, shape: 2.2 },
  valve: { scaleHours: 1300, shape: 1.4 },
  nozzle: { scaleHours: 480, shape: 2 },
  filter: { scaleHours: 1200, shape: 1.2 },
  hose: { scaleHours: 1500, shape: 1.5 },
  'joint-cross': { scaleHours: 800, shape: 1.9 },
  'shear-bolt': { scaleHours: 260, shape: 1 },
  gasket: { scaleHours: 3400, shape: 1.3 },
  'seal-kit': { scaleHours: 1900, shape: 1.7 },
  guard: { scaleHours: 1500, shape: 1.1 },
  fan: { scaleHours: 3800, shape: 1 },
  gear: { scaleHours: 6200, shape: 2.2 },
  shaft: { scaleHours: 7000, shape: 1.8 },
  pulley: { scaleHours: 4600, shape: 2 },
  pump: { scaleHours: 4800, shape: 1.8 },
  piston: { scaleHours: 3000, shape: 1.9 },
  cylinder: { scaleHours: 5000, shape: 1.7 },
  tyre: { scaleHours: 1100, shape: 1 },
  cable: { scaleHours: 1800, shape: 1.6 },
  electrical: { scaleHours: 900, shape: 1 },
}

/** Something on a machine that fails by running. */
export interface Wearing {
  /** Names its stream of chance, so that adding a part elsewhere leaves its failures as they were. */
  key: string
  wear: Wear
}

export interface Failure {
  key: string
  /** Index of the day in `hoursAtDayEnd`. */
  day: number
}

/**
 * When the parts of one machine fail. `hoursAtDayEnd` is the meter at the end of each day, never falling; `hoursAtStart`
 * the meter before the first. A part that failed is as good as new afterwards; at the start each is part-worn: its first
 * life has begun a random share of its scale before. `severity` above 1 shortens all lives alike.
 */
export function wearFailures(input: {
  wearing: readonly Wearing[]
  hoursAtStart: number
  hoursAtDayEnd: readonly number[]
  severity: number
  randomOf: (key: string) => Random
}): Failure[] {
  const failures: Failure[] = []
  for (const { key, wear } of input.wearing) {
    const random = input.randomOf(key)
    const life = () => randomWeibull(random, wear.scaleHours / input.severity, wear.shape)
    let failsAt = input.hoursAtStart + lifeLeft(life, random() * (wear.scaleHours / input.severity))
    for (const [day, hours] of input.hoursAtDayEnd.entries()) {
      if (hours < failsAt) continue
      failures.push({ key, day })
      failsAt = hours + life()
    }
  }
  return failures.sort((a, b) => a.day - b.day || (a.key < b.key ? -1 : a.key > b.key ? 1 : 0))
}

/** What is left of a life, given that the part has reached `age`. */
function lifeLeft(life: () => number, age: number): number {
  for (let attempt = 0; attempt < 40; attempt++) {
    const whole = life()
    if (whole > age) return whole - age
  }
  return life()
}

/** Failures to expect in `hours` of running, long after the start: hours over mean life, near enough scale for these shapes. */
export function wearExpected(wearing: readonly Wearing[], hours: number): number {
  return wearing.reduce((sum, { wear }) => sum + hours / wear.scaleHours, 0)
}
