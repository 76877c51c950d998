import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { z } from 'zod'
import { PART_CLASSES } from '../../lib/catalogue/part-class.ts'
import { FAMILIES } from '../../lib/companion/rule-terms.ts'
import { Item } from '../../lib/figure/schema.ts'

/** A standard, a key of the handbook, the list's own note, or `common practice, no source`. */
const Source = z.string().trim().min(5).max(160)
const Pieces = z.number().int().positive()

/**
 * A line of the figure, fitted new. Positions are a side of the axle, a station of the rotor or an end of its shaft; absent where
 * the assembly sits once.
 */
const PartExpected = z.strictObject({
  item: Item,
  positions: z.string().trim().min(1).array().min(1).optional(),
  /** Pieces in all, or the fewest and the most that a fitter would call right. */
  quantity: z.union([Pieces, z.tuple([Pieces, Pieces])]).optional(),
  source: Source,
})

/** Something used up or worn on the person. Several classes: any one of them serves. */
const ConsumableExpected = z.strictObject({
  consumable: z.enum(PART_CLASSES).array().min(1),
  grade: z.string().trim().min(2).max(40).optional(),
  /** Item of the joint it goes on, where the same stuff would be right on another joint of the job. */
  on: Item.optional(),
  /** Fewest and most grams, looked at where the suggestion is kept by weight. */
  grams: z.tuple([z.number().positive(), z.number().positive()]).optional(),
  source: Source,
})

/** Something done, not fitted: its family, and patterns of which the words must hold one. */
const ActExpected = z.strictObject({
  act: z.enum(FAMILIES).or(z.literal('any')),
  about: z.string().min(2).array().min(1).optional(),
  source: Source,
})

export const Expected = z.union([PartExpected, ConsumableExpected, ActExpected])
export type Expected = z.infer<typeof Expected>

/** One job of the workshop, and what a fitter takes for it before the engine is asked. */
export const Scenario = z.strictObject({
  id: z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/),
  words: z.string().trim().min(10).max(240),
  /** Slug of a figure of the demo's parts books. */
  figure: z.string().min(3),
  machine: z.strictObject({
    serial: z.string().trim().min(1).optional(),
    hours: z.number().int().positive().optional(),
    years: z.number().int().positive().optional(),
    season: z.enum(['in season', 'winter']).optional(),
  }),
  targets: z
    .strictObject({ item: Item, positions: z.string().array().min(1).optional(), quantity: Pieces.optional() })
    .array()
    .min(1),
  /** Positions that are taken apart as well. */
  alsoStripped: z.string().array().min(1).optional(),
  /** Without it the job fails, comes back or hurts someone. */
  must: Expected.array(),
  /** Right to take along as well. */
  should: Expected.array(),
  /** Would be wrong on this job, however weakly it were said. */
  mustNot: Expected.array().min(1),
  source: Source,
  /** What was added after the engine had been seen, each with its reason: the lines above stay as they were written. */
  amended: z
    .strictObject({ why: z.string().trim().min(10).max(160), should: Expected.array().min(1) })
    .array()
    .min(1)
    .optional(),
})
export type Scenario = z.infer<typeof Scenario>

export const SCENARIOS_FOLDER = join(import.meta.dirname, 'scenarios')

export function scenariosRead(folder = SCENARIOS_FOLDER): Scenario[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith('.json'))
    .sort()
    .flatMap((name) => Scenario.array().parse(JSON.parse(readFileSync(join(folder, name), 'utf8'))))
}
