import { RULES } from '../../lib/companion/rules/index.ts'
import type { CompanionInput, FigureLine, PartOnFile, Suggestion } from '../../lib/companion/suggest.ts'
import { type StripEdge, stripPlan } from '../../lib/figure/strip-order.ts'

/** A parts list line; part and line number follow from the item, so that each differs. */
export function aLine(item: string, partClass: FigureLine['partClass'], more: Partial<FigureLine> = {}): FigureLine {
  const number = Number.parseInt(item, 10) || item.charCodeAt(0)
  return {
    lineId: 1000 + number,
    item,
    partId: 200 + number,
    partNumber: `QB-${item}`,
    description: partClass,
    quantity: 1,
    unit: 'each',
    partClass,
    facts: {},
    partFacts: {},
    ...more,
  }
}

export function aPart(partId: number, partClass: PartOnFile['partClass'], more: Partial<PartOnFile> = {}): PartOnFile {
  return {
    partId,
    partNumber: `QB-S${partId}`,
    description: partClass,
    partClass,
    unit: 'each',
    partFacts: {},
    ...more,
  }
}

export const TWO_WHEELS = [
  { code: 'LH', label: 'left wheel', pairedWith: 'RH' },
  { code: 'RH', label: 'right wheel' },
]

export function aJob(input: {
  lines: FigureLine[]
  targets: CompanionInput['targets']
  edges?: StripEdge[]
  positions?: CompanionInput['positions']
  shelf?: PartOnFile[]
  rules?: CompanionInput['rules']
  alsoStripped?: string[]
  figureId?: number
  machine?: CompanionInput['machine']
}): CompanionInput {
  const { edges = [], positions = [], shelf = [], rules = RULES, ...rest } = input
  const strip = stripPlan({ edges, lines: input.lines, targets: input.targets.map((target) => target.item) }).steps
  return { ...rest, positions, shelf, rules, strip }
}

/** "must 7 RH x2": strength, item or what is asked for, positions, quantity. */
export function parts(suggestions: readonly Suggestion[]): string[] {
  return suggestions
    .filter((s) => s.kind === 'part')
    .map((s) =>
      [
        s.strength,
        s.item ?? s.wanted ?? s.description,
        ...(s.positions.length ? [s.positions.join('+')] : []),
        `x${s.quantity}`,
      ].join(' '),
    )
}

/** "should brake-cleaner 1 each": strength, class from the key, quantity in minor units. */
export function consumables(suggestions: readonly Suggestion[]): string[] {
  return suggestions
    .filter((s) => s.kind === 'consumable')
    .map((s) => `${s.strength} ${s.key.replace('consumable:', '')} ${s.quantity} ${s.unit}`)
}

export function acts(suggestions: readonly Suggestion[]): string[] {
  return suggestions.filter((s) => s.kind === 'act').map((s) => `${s.strength}: ${s.description}`)
}
