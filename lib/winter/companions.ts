import type { PlanSuggestion } from '../job/plan.ts'
import type { PlanTarget } from '../job/plan-figure.ts'
import type { Want } from './facts.ts'

/** What the plan of a job proposes for these targets (lib/job/plan.ts). */
export type Proposes = (targets: readonly PlanTarget[]) => readonly PlanSuggestion[]

/** A thing that is looked at, with what a job aims at once it is found worn. */
export interface LookTargets {
  key: string
  /** "10 Bearing, hub" */
  text: string
  targets: readonly PlanTarget[]
}

export interface CompanionsAsked {
  /** What the work takes by its own list. */
  own: readonly Want[]
  /** Renewed in any case. */
  always: { targets: readonly PlanTarget[]; text: (figureId: number) => string }
  looks: readonly LookTargets[]
  proposes: Proposes
  /** Minor units by part that the list, or an open job of the machine, names itself. */
  named: ReadonlyMap<number, number>
  /** Whether what goes with `always` is asked for; an open job has decided on that already. */
  withAlways: boolean
}

export interface CompanionWants {
  wants: Want[]
  /** What has to be had and nothing on file fits, in words. */
  missing: string[]
}

/** A part that is proposed, from all suggestions that name it. Minor units. */
interface Proposed {
  quantity: number
  text: string
  figureId: number
  rule: string
}

/** The first sentence of a rule says what is to be done; cautions and details stand on the job. */
function ruleSays(words: string): string {
  const end = words.search(/[.:;] /)
  return (end < 0 ? words : words.slice(0, end)).replace(/\.$/, '')
}

/**
 * Parts to have for suggestions: what must and should be renewed or used up. What is only to be considered is left to the job, and
 * gloves and goggles are worn again.
 */
function partsOf(suggestions: readonly PlanSuggestion[]): Map<number, Proposed> {
  const parts = new Map<number, Proposed>()
  for (const { kind, partId, strength, family, quantity, item, description, figureId, reasons } of suggestions) {
    if (kind === 'act' || partId === null || strength === 'consider' || family === 'protection' || quantity <= 0)
      continue
    const before = parts.get(partId)
    const text = item === null || kind === 'consumable' ? description : `${item} ${description}`
    const one = { quantity, text, figureId, rule: ruleSays(reasons[0]?.words ?? '') }
    parts.set(partId, before ? { ...before, quantity: before.quantity + quantity } : one)
  }
  return parts
}

const quantityOf = (parts: ReadonlyMap<number, Proposed>, partId: number) => parts.get(partId)?.quantity ?? 0

/** So many pieces are needed where any of the looks finds its thing worn. */
export interface Layer {
  looks: string[]
  quantity: number
}

/**
 * What several looks ask of one part, told apart into what each needs for itself and what they share, as a gasket under which
 * two seals lie. `each` is what a look asks for when it alone finds something worn, `all` what is needed when all do. Every look
 * alone gives its own quantity, all of them give `all`.
 *
 * Example: 5 and 5 with 5 in all are 5 for either; 12 and 13 with 15 in all are 10 for either, and 2 and 3 more.
 */
export function sharedLayers(each: readonly { look: string; quantity: number }[], all: number): Layer[] {
  const layers: Layer[] = []
  let left = each.filter(({ quantity }) => quantity > 0)
  let rest = all
  while (left.length > 1) {
    const sum = left.reduce((total, { quantity }) => total + quantity, 0)
    const least = Math.min(...left.map(({ quantity }) => quantity))
    const shared = Math.min(least, Math.max(0, Math.floor((sum - rest) / (left.length - 1))))
    if (shared > 0) layers.push({ looks: left.map(({ look }) => look), quantity: shared })
    rest -= shared
    left = left.map(({ look, quantity }) => ({ look, quantity: quantity - shared }))
    if (shared < least) break
    left = left.filter(({ quantity }) => quantity > 0)
  }
  return [...layers, ...left.map(({ look, quantity }) => ({ looks: [look], quantity }))]
}

/** Takes what is named already off layers, what most looks share first. */
function layersLess(layers: readonly Layer[], named: number): Layer[] {
  let left = named
  return layers.flatMap((layer) => {
    const less = Math.min(left, layer.quantity)
    left -= less
    return layer.quantity > less ? [{ ...layer, quantity: layer.quantity - less }] : []
  })
}

/** Things that are named in one breath. */
const THINGS_MOST = 2

/** "10 Bearing or 12 Seal and 3 more": names without their sizes, which stand in the list of their machine. */
export function thingsSay(things: readonly string[], word: 'and' | 'or'): string {
  const short = [...new Set(things.map((thing) => thing.split(',')[0]!.trim()))]
  const more = short.length - THINGS_MOST
  return more > 0 ? `${short.slice(0, THINGS_MOST).join(', ')} ${word} ${more} more` : short.join(` ${word} `)
}

const goesWith = (thing: string, rule: string) => `goes with ${thing}${rule === '' ? '' : `: ${rule}`}`

/**
 * What a work takes with all that goes with it by the companion rules. With what is renewed in any case it is certain; what goes
 * with a thing that is looked at is needed when that is found worn, by the same look, and only beyond what is needed in any case.
 * What the list or an open job names itself counts once. Quantities in minor units.
 */
export function companionWants(asked: CompanionsAsked): CompanionWants {
  const { own, always, looks, proposes, named, withAlways } = asked
  const baseSuggestions = proposes(always.targets)
  const base = partsOf(baseSuggestions)
  const wants: Want[] = [...own]
  const spare = new Map(named)
  if (withAlways)
    for (const [partId, { quantity, text, figureId, rule }] of base) {
      const less = Math.min(quantity, spare.get(partId) ?? 0)
      spare.set(partId, (spare.get(partId) ?? 0) - less)
      const why = goesWith(always.text(figureId), rule)
      if (quantity > less) wants.push({ partId, quantity: quantity - less, looks: [], text, goesWith: why })
    }
  const missing = missingOf(withAlways ? baseSuggestions : [])
  if (looks.length === 0) return { wants, missing }
  const found = looks.map((look) => ({ look, parts: partsOf(proposes([...always.targets, ...look.targets])) }))
  const whole = partsOf(proposes([...always.targets, ...looks.flatMap(({ targets }) => targets)]))
  const touched = new Set([...whole, ...found.flatMap(({ parts }) => [...parts])].map(([partId]) => partId))
  for (const partId of [...base.keys()]) touched.add(partId)
  for (const partId of [...touched].sort((a, b) => a - b)) {
    const before = quantityOf(base, partId)
    const isOwn = (want: Want, key: string) =>
      want.partId === partId && want.looks.length === 1 && want.looks[0] === key
    const each = found.map(({ look: { key }, parts }) => {
      const listed = own.filter((want) => isOwn(want, key)).reduce((sum, { quantity }) => sum + quantity, 0)
      // What goes with the rest in any case is no longer looked at, so a look may ask for less than its list says.
      return { look: key, listed, quantity: Math.max(0, listed + quantityOf(parts, partId) - before) }
    })
    if (each.every(({ listed, quantity }) => listed === quantity) && quantityOf(whole, partId) === before) continue
    const listed = each.reduce((sum, one) => sum + one.listed, 0)
    const most = Math.max(...each.map(({ quantity }) => quantity))
    const all = Math.max(most, listed + quantityOf(whole, partId) - before)
    const layers = layersLess(sharedLayers(each, all), spare.get(partId) ?? 0)
    const told = own.filter((want) => each.some(({ look }) => isOwn(want, look)))
    for (const want of told) wants.splice(wants.indexOf(want), 1)
    wants.push(...layersWants(partId, layers, { told, looks, found }))
  }
  return { wants, missing }
}

/** Layers as wants: what the list names first keeps its own words. */
function layersWants(
  partId: number,
  layers: readonly Layer[],
  {
    told,
    looks,
    found,
  }: {
    told: readonly Want[]
    looks: readonly LookTargets[]
    found: readonly { look: LookTargets; parts: ReadonlyMap<number, Proposed> }[]
  },
): Want[] {
  return layers.flatMap((layer) => {
    const things = looks.filter(({ key }) => layer.looks.includes(key)).map(({ text }) => text)
    const by = found.find(({ look, parts }) => layer.looks.includes(look.key) && parts.has(partId))?.parts.get(partId)
    const wants: Want[] = []
    let left = layer.quantity
    for (const want of told) {
      if (left === 0 || layer.looks.length > 1 || want.looks[0] !== layer.looks[0]) continue
      const quantity = Math.min(left, want.quantity)
      left -= quantity
      wants.push({ ...want, quantity })
    }
    if (left === 0) return wants
    const why = goesWith(thingsSay(things, 'or'), by?.rule ?? '')
    return [
      ...wants,
      { partId, quantity: left, looks: layer.looks, text: by?.text ?? told[0]?.text ?? '', goesWith: why },
    ]
  })
}

/** What must be had and nothing on file is: a split pin that nobody keeps. */
function missingOf(suggestions: readonly PlanSuggestion[]): string[] {
  return suggestions.flatMap(({ kind, partId, strength, wanted }) =>
    kind === 'part' && partId === null && strength === 'must' && wanted !== undefined ? [wanted] : [],
  )
}
