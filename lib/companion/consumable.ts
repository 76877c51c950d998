import type { PartClass } from '../catalogue/part-class.ts'
import { greaseFirstFillGrams, greaseGrams } from '../fastener/grease.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { factOf } from './fact.ts'
import { listedNearest } from './nearby.ts'
import { gradeFits, type JobShape, type Trigger } from './places.ts'
import type { RuleThen } from './rule.ts'
import type { Suggestion } from './suggestion.ts'

type ConsumableThen = Extract<RuleThen, { what: 'consumable' }>

/** A class as it is said: anti-seize, brake cleaner, O-ring. */
export function partClassWords(partClass: PartClass): string {
  const kept: Partial<Record<PartClass, string>> = {
    'anti-seize': 'anti-seize',
    'thread-lock': 'thread-lock',
    'o-ring': 'O-ring',
    'v-belt': 'V-belt',
  }
  return kept[partClass] ?? partClass.replaceAll('-', ' ')
}

/** Unit in which a class is asked for where no part on file says how it is kept. */
function unitWanted(partClass: PartClass): StockUnit {
  const kept: Partial<Record<PartClass, StockUnit>> = {
    'anti-seize': 'kilogram',
    'brake-paste': 'kilogram',
    grease: 'kilogram',
    sealant: 'kilogram',
    'thread-lock': 'litre',
    coolant: 'litre',
    'gear-oil': 'litre',
    'engine-oil': 'litre',
    'hydraulic-oil': 'litre',
  }
  return kept[partClass] ?? 'each'
}

/** Which part serves: what the parts list names nearest to the joint, else what is on file, else words to ask for. */
export function consumableHead(shape: JobShape, trigger: Trigger, then: ConsumableThen) {
  // Where the joint says what runs out, only that is filled; where it does not, naming one would be a guess.
  const { fluid } = trigger.line.facts
  if (then.formula === 'fill') then = { ...then, partClass: then.partClass.filter((one) => !fluid || one === fluid) }
  if (then.partClass.length === 0) return null
  const isUnknown = then.formula === 'fill' && then.partClass.length > 1
  const listed = shape.input.lines.filter(
    (line) => then.partClass.includes(line.partClass) && gradeFits(line, then.grade),
  )
  const fromList = listedNearest(listed, trigger.line)
  const onFile = () => then.partClass.map((one) => shape.onFile(one, then.grade)).find((part) => part !== null)
  const part = fromList ?? (then.onlyFromList || isUnknown ? null : (onFile() ?? null))
  const partClass = part?.partClass ?? then.partClass[0]!
  const words = isUnknown
    ? 'what the maker names for it: kind, grade and amount as the manual says'
    : then.onlyFromList
      ? `${then.partClass.map(partClassWords).join(', ')}: grade as the manual says`
      : [partClassWords(partClass), then.grade].filter(Boolean).join(', ')
  // Two oils of one list are two suggestions; what comes from the shelf is one for its class and grade, whichever part serves.
  const detail = fromList
    ? [partClass, fromList.partId]
    : isUnknown
      ? ['fill']
      : then.onlyFromList
        ? then.partClass
        : [partClass, then.grade]
  return {
    key: ['consumable', ...detail].filter(Boolean).join(':'),
    kind: 'consumable',
    partId: part?.partId ?? null,
    item: null,
    description: part?.description ?? words,
    unit: part?.unit ?? unitWanted(partClass),
    ...(part ? {} : { wanted: words }),
  } satisfies Pick<Suggestion, 'key' | 'kind' | 'partId' | 'item' | 'description' | 'unit' | 'wanted'>
}

/**
 * Amount in whole stock units of `unit` for one piece, line, position or job, as the rule counts.
 * Grams and millilitres stand for each other; by the piece means one container. Null means: one container for the job.
 */
export function consumableAmount(then: ConsumableThen, trigger: Trigger, unit: StockUnit): number | null {
  if (then.formula === 'bearing-grease') {
    const outsideMm = Number(factOf(trigger.line, 'outsideMm'))
    return unit === 'each' ? null : greaseGrams(outsideMm, Number(factOf(trigger.line, 'widthMm'))) / 1000
  }
  if (then.formula === 'bearing-first-fill') {
    const [outsideMm, widthMm] = [Number(factOf(trigger.line, 'outsideMm')), Number(factOf(trigger.line, 'widthMm'))]
    const { boreMm } = trigger.line.partFacts
    return unit === 'each' ? null : greaseFirstFillGrams({ outsideMm, widthMm, boreMm }) / 1000
  }
  if (then.formula === 'fill') return unit === 'each' ? null : (trigger.line.facts.fillLitres ?? 0)
  const amount = then.amount?.[unit]
  if (amount !== undefined) return amount
  return unit === 'each' ? null : (then.amount?.kilogram ?? then.amount?.litre ?? null)
}
