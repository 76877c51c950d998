import { itemCompare, itemKey } from '../figure/strip-order.ts'
import { type Found, isOfClass, wordsFilled } from './condition.ts'
import { consumableAmount, consumableHead } from './consumable.ts'
import { type Draft, type Drafts, draftOf, keepLarger, reasonAdd, weaker } from './draft.ts'
import { linesNear, splitPinAnswer } from './nearby.ts'
import { type JobShape, oppositeStations, placesOfSide, quantityPerPlace, type Trigger } from './places.ts'
import { placeholdersOf, type Rule, type RuleThen } from './rule.ts'
import type { Strength } from './rule-terms.ts'
import { type ShareOf, sharePieces } from './share.ts'
import type { FigureLine } from './suggestion.ts'

/** A job being worked through: its shape, and the suggestions so far. */
export interface Work {
  shape: JobShape
  drafts: Drafts
  share: ShareOf
}

function lineHead(line: FigureLine, side: Trigger['side']): Draft['head'] {
  const other = side === 'other' ? '+other' : ''
  const key = `part:${itemKey(line.item)}${line.side ? `/${line.side}` : ''}:${line.partId}${other}`
  return { key, kind: 'part', partId: line.partId, item: line.item, description: line.description, unit: line.unit }
}

/** Adds a line at places, leaving out what is renewed there anyway as a target. */
function lineAdd(
  work: Work,
  rule: Rule,
  line: FigureLine,
  at: Trigger,
  places: readonly string[],
  strength: Strength,
  found: Found,
): void {
  const own = placesOfSide(work.shape, line, places)
  if (own === null) return
  const target = work.shape.targets.get(itemKey(line.item))
  const left = target ? own.filter((place) => !target.positions.has(place)) : own
  if (left.length === 0 && (own.length > 0 || target)) return
  const draft = draftOf(work.drafts, lineHead(line, at.side))
  const perPlace = sharePieces(quantityPerPlace(line, at.stations), work.share(line, at))
  for (const place of left.length ? left : ['']) keepLarger(draft.byPlace, place, perPlace)
  // One pin may serve several stations: there are never more of it than the assembly has.
  if (at.stations !== null) draft.most = line.quantity
  reasonAdd(draft, rule, wordsFilled(rule, at.line), strength, { ...found, 'quantity at each place': String(perPlace) })
}

/** The line that is fitted at the other position: itself, or the one made for that side. */
function lineForSide(shape: JobShape, line: FigureLine, code: string): FigureLine | null {
  if (line.side === undefined || line.side === code) return line
  const handed = shape.input.lines.filter((other) => other.side === code && other.partClass === line.partClass)
  return (
    handed.find((other) => itemKey(other.item) === itemKey(line.item)) ??
    linesNear(shape, line, line.partClass, 'nearest').find((other) => other.side === code) ??
    null
  )
}

/** Pair and opposite: the same part where it wears or turns with the target. Returns the codes it leads to. */
export function otherSideAdd(work: Work, rule: Rule, trigger: Trigger, found: Found): string[] {
  const { shape } = work
  const taken = shape.targets.get(itemKey(trigger.line.item))!.positions
  const codes =
    rule.then.what === 'opposite-station'
      ? oppositeStations([...taken], trigger.stations ?? 0)
      : [...new Set(trigger.places.map(shape.pairOf))].filter((code) => code !== null && !taken.has(code)).map(String)
  for (const code of codes) {
    const line = lineForSide(shape, trigger.line, code)
    const perPlace = line === null ? trigger.perPlace : quantityPerPlace(line, trigger.stations)
    const head = line === null ? handedHead(trigger.line, code) : lineHead(line, 'other')
    const draft = draftOf(work.drafts, head)
    keepLarger(draft.byPlace, code, perPlace)
    reasonAdd(draft, rule, wordsFilled(rule, trigger.line), rule.strength, {
      ...found,
      'other side': code,
      'quantity at each place': String(perPlace),
    })
  }
  return codes
}

/** The parts list has this part for one hand only: say what is wanted instead of offering the wrong hand. */
function handedHead(line: FigureLine, code: string): Draft['head'] {
  const wanted = `${line.description} for ${code}`
  return {
    key: `part:${itemKey(line.item)}/${code}:wanted+other`,
    kind: 'part',
    partId: null,
    item: line.item,
    description: wanted,
    unit: line.unit,
    wanted,
  }
}

function setRest(work: Work, rule: Rule, trigger: Trigger, found: Found): void {
  if (trigger.side === 'other') return
  const rest = trigger.perPlace * Math.max(1, trigger.places.length) - trigger.chosen
  if (rest <= 0) return
  const draft = draftOf(work.drafts, lineHead(trigger.line, 'main'))
  draft.rest = Math.max(draft.rest, rest)
  for (const place of trigger.places) keepLarger(draft.byPlace, place, 0)
  const all = String(trigger.perPlace * Math.max(1, trigger.places.length))
  reasonAdd(draft, rule, wordsFilled(rule, trigger.line), rule.strength, {
    ...found,
    chosen: String(trigger.chosen),
    'pieces in the set': all,
  })
}

function splitPinAdd(work: Work, rule: Rule, trigger: Trigger, strength: Strength, found: Found): void {
  const { host, listed, choice, part, text } = splitPinAnswer(work.shape, trigger.line)
  const size: Found = choice ? { size: text, 'size from': choice.from, 'size by': choice.source } : { size: text }
  for (const line of listed) lineAdd(work, rule, line, trigger, trigger.places, strength, { ...found, ...size })
  if (listed.length) return
  const draft = draftOf(work.drafts, {
    key: `split-pin:${itemKey(host.item)}${host.side ? `/${host.side}` : ''}${trigger.side === 'other' ? '+other' : ''}`,
    kind: 'part',
    partId: part?.partId ?? null,
    item: null,
    description: part?.description ?? text,
    unit: part?.unit ?? 'each',
    ...(part ? {} : { wanted: text }),
  })
  const perPlace = sharePieces(quantityPerPlace(host, trigger.stations), work.share(host, trigger))
  for (const place of trigger.places.length ? trigger.places : ['']) keepLarger(draft.byPlace, place, perPlace)
  if (trigger.stations !== null) draft.most = host.quantity
  reasonAdd(draft, rule, wordsFilled(rule, trigger.line), strength, {
    ...found,
    ...size,
    'goes through': `item ${host.item}`,
  })
}

function consumableAdd(
  work: Work,
  rule: Rule,
  then: Extract<RuleThen, { what: 'consumable' }>,
  trigger: Trigger,
  strength: Strength,
  found: Found,
): void {
  const head = consumableHead(work.shape, trigger, then)
  if (head === null) return
  const draft = draftOf(work.drafts, head)
  const amount = consumableAmount(then, trigger, head.unit)
  const places = Math.max(1, trigger.places.length)
  if (amount !== null && (then.per === 'line' || then.per === 'piece')) {
    const pieces = sharePieces(places * trigger.perPlace, work.share(trigger.line, trigger))
    const count = then.per === 'line' ? places : pieces
    // Drain plug, cover and seal all let out the same fill: the assembly is filled once.
    const isFill = then.formula === 'fill'
    const counted = isFill
      ? trigger.side === 'other'
        ? 'fill other'
        : 'fill'
      : `${trigger.line.lineId} ${trigger.side}`
    keepLarger(draft.byLine, counted, amount * count)
  } else {
    const counted = draft.byRule.get(rule.id) ?? { amount: amount ?? 1, places: new Set<string>() }
    if (amount !== null && then.per === 'position') for (const place of trigger.places) counted.places.add(place)
    draft.byRule.set(rule.id, counted)
  }
  for (const place of trigger.places) keepLarger(draft.byPlace, place, 0)
  reasonAdd(draft, rule, wordsFilled(rule, trigger.line), strength, found)
}

/** Of all that comes off and lets out the same fluid: what lets out most, a plug before a cover, else the lowest item. */
function fillLeader(shape: JobShape, rule: Rule, line: FigureLine): FigureLine {
  const rank = (one: FigureLine) => Number(one.partClass !== 'plug')
  return shape.input.lines
    .filter(({ item, facts }) => shape.disturbed.has(itemKey(item)) && facts.fluid === line.facts.fluid)
    .filter(
      (one) => isOfClass(rule.when, one.partClass) && one.facts.fillLitres !== undefined && one.side === line.side,
    )
    .sort(
      (a, b) =>
        b.facts.fillLitres! - a.facts.fillLitres! ||
        rank(a) - rank(b) ||
        itemCompare(a.item, b.item) ||
        a.partId - b.partId ||
        a.lineId - b.lineId,
    )[0]!
}

function actAdd(
  work: Work,
  rule: Rule,
  then: { perLine?: true | undefined; afterRun?: true | undefined },
  trigger: Trigger,
  strength: Strength,
  found: Found,
): void {
  const { line } = trigger
  const { perLine, afterRun } = then
  const words = wordsFilled(rule, line)
  // Words that say how much runs out are said once for each fluid, of the line that lets out most.
  const isFill = perLine && placeholdersOf(rule.words).includes('fillLitres')
  if (isFill && fillLeader(work.shape, rule, line) !== line) return
  const own = isFill
    ? `:${line.facts.fluid ?? 'fluid'}${line.side ? `/${line.side}` : ''}`
    : `:${itemKey(line.item)}${line.side ? `/${line.side}` : ''}:${line.partId}`
  const key = `act:${rule.id}${perLine ? own : ''}`
  const draft = draftOf(work.drafts, {
    key,
    kind: 'act',
    partId: null,
    item: perLine ? line.item : null,
    description: words,
    unit: 'each',
    ...(afterRun ? { afterRun } : {}),
  })
  for (const place of trigger.places) keepLarger(draft.byPlace, place, 0)
  reasonAdd(draft, rule, words, strength, found)
}

/** Adds what a rule asks for when it applies to a line. */
export function thenAdd(work: Work, rule: Rule, trigger: Trigger, found: Found): void {
  const { then } = rule
  const strength = trigger.side === 'other' ? weaker(rule.strength, trigger.cap) : rule.strength
  switch (then.what) {
    case 'same-part-at-paired-position':
    case 'opposite-station':
      // Done before anything else, since they decide what comes off on the other side: otherSideAdd.
      break
    case 'rest-of-set':
      setRest(work, rule, trigger, found)
      break
    case 'same-line':
      lineAdd(work, rule, trigger.line, trigger, trigger.places, strength, found)
      break
    case 'line-of-class':
      for (const partClass of then.partClass) {
        for (const line of linesNear(work.shape, trigger.line, partClass, then.within)) {
          lineAdd(work, rule, line, trigger, trigger.places, strength, found)
        }
      }
      break
    case 'matched-line': {
      const matched = itemKey(trigger.line.facts.matchedWith ?? '')
      for (const line of work.shape.input.lines)
        if (itemKey(line.item) === matched) lineAdd(work, rule, line, trigger, trigger.places, strength, found)
      break
    }
    case 'sized-split-pin':
      splitPinAdd(work, rule, trigger, strength, found)
      break
    case 'consumable':
      consumableAdd(work, rule, then, trigger, strength, found)
      break
    case 'act':
      actAdd(work, rule, then, trigger, strength, found)
      break
    case 'torque-note':
      actAdd(work, rule, { perLine: true }, trigger, strength, found)
      break
  }
}
