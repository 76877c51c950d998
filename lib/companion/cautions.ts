import { z } from 'zod'
import { PART_CLASSES, type PartClass } from '../catalogue/part-class.ts'
import { classSafetyJoint } from '../catalogue/safety-class.ts'
import { FLUIDS, type LineFacts } from '../figure/schema.ts'
import type { MachineDrive } from '../machine/kind.ts'
import data from './cautions.json'

export const CAUTION_STAGES = ['before', 'strip', 'rebuild', 'test'] as const
export type CautionStage = (typeof CAUTION_STAGES)[number]

const SafetyJoint = z.enum(['brake', 'steering', 'cutting', 'pto'])

const CautionRule = z.strictObject({
  id: z.string().regex(/^[a-z][a-z-]+$/),
  stage: z.enum(CAUTION_STAGES),
  words: z.string().min(10).max(220),
  /** Whose word goes before ours at this step. */
  defers: z.string().min(10).max(160),
  source: z.string().min(5),
  /** A number of the rule itself, shown through {limit}. */
  limit: z.number().int().positive().optional(),
  /** All of these must hold, or it is not said at all. */
  only: z
    .strictObject({
      /** How the machine is driven; unknown where its kind does not tell. */
      drive: z.enum(['engine', 'drawn', 'driven', 'stationary', 'unknown']).array().min(1).optional(),
      /** Whether what comes off belongs to a brake. */
      brake: z.enum(['whole', 'stripped']).optional(),
    })
    .optional(),
  /** Any one of these is enough. */
  when: z.strictObject({
    always: z.literal(true).optional(),
    classes: z.enum(PART_CLASSES).array().min(1).optional(),
    safetyJoints: SafetyJoint.array().min(1).optional(),
    massKgOver: z.number().positive().optional(),
    fill: z.literal(true).optional(),
    fluids: z.enum(FLUIDS).array().min(1).optional(),
  }),
})

const CAUTIONS = z.array(CautionRule).parse(data)

export interface Caution {
  id: string
  words: string
  defers: string
  source: string
}

export interface CautionsInput {
  /** How the machine is driven; null where its kind does not tell. */
  drive: MachineDrive | null
  /** Classes of everything disturbed or renewed. */
  classes: readonly PartClass[]
  safetyJoints?: readonly ('brake' | 'steering' | 'cutting' | 'pto')[]
  /** Mass of each part to lift, in kilograms. */
  massKg?: readonly number[]
  /** What runs out, where the list tells. */
  fluids?: readonly NonNullable<LineFacts['fluid']>[]
  /** Oil or coolant that runs out, in litres each. */
  fillLitres?: readonly number[]
}

/**
 * What can hurt somebody at a stage of the job, in the order the list is kept. Short, each with its source, and each giving way
 * to the maker's manual, local rules and qualified people: they remind, they do not teach.
 */
export function cautionsFor(input: CautionsInput, stage: CautionStage): Caution[] {
  const classes = new Set(input.classes)
  const joints = new Set(input.safetyJoints ?? [])
  const brake =
    joints.has('brake') || input.classes.some((one) => classSafetyJoint(one) === 'brake') ? 'stripped' : 'whole'
  return CAUTIONS.filter(({ stage: at, only, when }) => {
    if (at !== stage) return false
    if (only?.drive && !only.drive.includes(input.drive ?? 'unknown')) return false
    if (only?.brake && only.brake !== brake) return false
    if (when.always) return true
    if (when.classes?.some((partClass) => classes.has(partClass))) return true
    if (when.safetyJoints?.some((joint) => joints.has(joint))) return true
    if (when.fluids?.some((fluid) => input.fluids?.includes(fluid))) return true
    if (when.massKgOver !== undefined && input.massKg?.some((kg) => kg > when.massKgOver!)) return true
    return when.fill === true && (input.fillLitres?.some((litres) => litres > 0) ?? false)
  }).map(({ id, words, defers, source, limit }) => ({
    id,
    words: words.replace('{limit}', String(limit ?? '')),
    defers,
    source,
  }))
}

/** Most pairs of brakes or clutches a week for which the US rule allows the plain wet method (29 CFR 1910.1001 App F). */
export function wetMethodPairsPerWeekMax(): number {
  const limit = CAUTIONS.find((caution) => caution.id === 'brake-dust-us')?.limit
  if (!limit) throw new RangeError('The list of cautions has lost the limit of the wet method.')
  return limit
}
