import type { PartClass } from '../catalogue/part-class.ts'
import type { FigurePosition, LineFacts, PartFacts } from '../figure/schema.ts'
import type { StockUnit } from '../measure/quantity.ts'
import type { MachineNow } from './machine-now.ts'
import type { Rule } from './rule.ts'
import type { Family, Strength } from './rule-terms.ts'

/** A parts list line that applies to this machine. Quantity is per assembly, in minor units of `unit`. */
export interface FigureLine {
  lineId: number
  item: string
  partId: number
  partNumber: string
  description: string
  quantity: number
  unit: StockUnit
  partClass: PartClass
  facts: LineFacts
  partFacts: PartFacts
  attaches?: string
  side?: 'LH' | 'RH'
}

/** A part on file that may serve as consumable or split pin, whether or not this figure lists it. */
export interface PartOnFile {
  partId: number
  partNumber: string
  description: string
  partClass: PartClass
  unit: StockUnit
  partFacts: PartFacts
}

export interface CompanionTarget {
  item: string
  /** Position codes; station numbers as text where the line has stations; empty where the figure sits once. */
  positions: readonly string[]
  /** Pieces to renew in all. */
  quantity: number
}

export interface CompanionInput {
  targets: readonly CompanionTarget[]
  lines: readonly FigureLine[]
  positions: readonly FigurePosition[]
  /** Steps of the strip plan. A bare item counts for every target; a step says in whose way it is, and so at which places. */
  strip: readonly (
    | string
    | { item: string; inTheWayOf: readonly string[]; openedBy?: readonly string[]; alsoUnder?: readonly string[] }
  )[]
  rules: readonly Rule[]
  shelf: readonly PartOnFile[]
  /** The figure of the lines, and the machine; a rule that asks for the machine is silent where none is told. */
  figureId?: number
  machine?: MachineNow | undefined
  /** Positions that are taken apart as well, since the mechanic said yes to the other side. */
  alsoStripped?: readonly string[]
}

export interface SuggestionReason {
  ruleId: string
  words: string
  source: string
  strength: Strength
  /** What the rule looked at and found on this job, by name. */
  found: Record<string, string>
}

export interface Suggestion {
  /** The same for the same line and side whenever it is asked again; `+other` is the other side of the axle or rotor. */
  key: string
  kind: 'part' | 'consumable' | 'act'
  strength: Strength
  partId: number | null
  item: string | null
  positions: string[]
  description: string
  /** Minor units of `unit`; 0 for an act. */
  quantity: number
  /** Of that, what a job needs once however many joints or figures ask for it; minor units, left out where nothing is. */
  once?: number
  unit: StockUnit
  /** What to ask for where nothing on file fits. */
  wanted?: string
  /** Done after the first loaded run, not on the job itself. */
  afterRun?: true
  family: Family
  reasons: SuggestionReason[]
}
