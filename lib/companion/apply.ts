import { placeSays, SHAFT_ENDS } from '../figure/shaft-end.ts'
import { itemCompare, itemKey } from '../figure/strip-order.ts'
import { type Found, isOfClass, wordsFilled } from './condition.ts'
import { consumableAmount, consumableHead } from './consumable.ts'
import { type Draft, type Drafts, draftOf, keepLarger, OTHER_END, reasonAdd, weaker } from './draft.ts'
import { linesNear, splitPinAnswer } from './nearby.ts'
import { placeCode, placeEnd, placeKey, placesAcross } from './place.ts'
import { type JobShape, oppositeStations, placesOfLine, quantityPerPlace, type Trigger } from './places.ts'
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

/** Parts of the other side and of the other end stand under keys of their own, so that either can be left alone. */
const OTHER: Record<Trigger['side'], readonly [end: string, other: string]> = {
  main: ['', ''],
  other: ['', '+other'],
  'other-end': [OTHER_END, '+other'],
}

function lineHead(line: FigureLine, side: Trigger['side']): Draft['head'] {
  const [end, other] = OTHER[side]
  const key = `part:${itemKey(line.item)}${line.side ? `/${line.side}` : ''}${end}:${line.partId}${other}`
  return { key, kind: 'part', partId: line.partId, item: line.item, description: line.description, unit: line.unit }
}

/** Adds a line where a trigger is, leaving out what is renewed there anyway as a target. */
function lineAdd(work: Work, rule: Rule, line: FigureLine, at: Trigger, strength: Strength, found: Found): void {
  const { shape } = work
  const own = placesOfLine(shape, line, at.at)?.places
  if (own === undefined) return
  const key = itemKey(line.item)
  const isTarget = shape.targets.has(key)
  const aimed = placesOfLine(shape, line, placesAcross(shape.codesAt(key), shape.endsAt(key)))?.places ?? []
  const left = isTarget ? own.filter((place) => !aimed.includes(place)) : own
  if (left.length === 0 && (own.length > 0 || isTarget)) return
  const draft = draftOf(work.drafts, lineHead(line, at.side))
  const perPlace = sharePieces(quantityPerPlace(line, at.stations, own), work.share(line, at))
  placesKeep(draft, line, left, at.stations, perPlace)
  reasonAdd(draft, rule, wordsFilled(rule, at.line), strength, { ...found, 'quantity at each place': String(perPlace) })
}

/** Counts pieces at places; '' where the assembly sits once. */
function placesKeep(
  draft: Draft,
  line: FigureLine,
  places: readonly string[],
  stations: number | null,
  perPlace: number,
): void {
  for (const place of places.length > 0 ? places : ['']) keepLarger(draft.byPlace, place, perPlace)
  // One pin may serve several stations: there are never more of it than the assembly has.
  if (stations !== null) draft.most = line.quantity
  // Three over two ends are two at one of them, and three at both.
  if (places.some((place) => placeEnd(place) !== '')) draft.mostOfEnds = line.quantity
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

/** Places where the same part wears or turns with the one of a trigger, and that are left alone so far. */
function otherPlaces(shape: JobShape, rule: Rule, trigger: Trigger): string[] {
  const key = itemKey(trigger.line.item)
  const taken = shape.codesAt(key)
  switch (rule.then.what) {
    case 'opposite-station':
      return oppositeStations(taken, trigger.stations ?? 0)
    case 'same-part-at-other-end':
      return trigger.places.flatMap((place) => {
        const end = SHAFT_ENDS.find((one) => one !== placeEnd(place))!
        const other = placeKey(placeCode(place), end)
        return placeEnd(place) === '' || trigger.places.includes(other) ? [] : [other]
      })
    default:
      return trigger.places.flatMap((place) => {
        const code = shape.pairOf(placeCode(place))
        return code === null || taken.includes(code) ? [] : [placeKey(code, placeEnd(place))]
      })
  }
}

/** Pair, opposite and other end: the same part where it wears or turns with the target. Returns the places it leads to. */
export function otherSideAdd(work: Work, rule: Rule, trigger: Trigger, found: Found): string[] {
  const { shape } = work
  const isEnd = rule.then.what === 'same-part-at-other-end'
  const places = [...new Set(otherPlaces(shape, rule, trigger))]
  for (const place of places) {
    const code = placeCode(place)
    const line = isEnd ? trigger.line : lineForSide(shape, trigger.line, code)
    const perPlace = line === null ? trigger.perPlace : quantityPerPlace(line, trigger.stations, [place])
    const head = line === null ? handedHead(trigger.line, code) : lineHead(line, isEnd ? 'other-end' : 'other')
    const draft = draftOf(work.drafts, head)
    keepLarger(draft.byPlace, place, perPlace)
    reasonAdd(draft, rule, wordsFilled(rule, trigger.line), rule.strength, {
      ...found,
      ...(isEnd ? { 'other end': placeSays(placeEnd(place)) } : { 'other side': code }),
      'quantity at each place': String(perPlace),
    })
  }
  return places
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

/** Sides and stations in hand, at least one: ends are no sides, and a joint with two of them is one joint still. */
function codesCount(trigger: Trigger): number {
  return Math.max(1, new Set(trigger.places.map(placeCode)).size)
}

/** Pieces of a line in hand. */
function piecesOf(trigger: Trigger): number {
  const all = trigger.perPlace * Math.max(1, trigger.places.length)
  const hasEnds = trigger.places.some((place) => placeEnd(place) !== '')
  return hasEnds ? Math.min(all, trigger.line.quantity * codesCount(trigger)) : all
}

function setRest(work: Work, rule: Rule, trigger: Trigger, found: Found): void {
  if (trigger.side !== 'main') return
  const all = piecesOf(trigger)
  const rest = all - trigger.chosen
  if (rest <= 0) return
  const draft = draftOf(work.drafts, lineHead(trigger.line, 'main'))
  draft.rest = Math.max(draft.rest, rest)
  for (const place of trigger.places) keepLarger(draft.byPlace, place, 0)
  reasonAdd(draft, rule, wordsFilled(rule, trigger.line), rule.strength, {
    ...found,
    chosen: String(trigger.chosen),
    'pieces in the set': String(all),
  })
}

function splitPinAdd(work: Work, rule: Rule, trigger: Trigger, strength: Strength, found: Found): void {
  const { host, listed, choice, part, text } = splitPinAnswer(work.shape, trigger.line)
  const size: Found = choice ? { size: text, 'size from': choice.from, 'size by': choice.source } : { size: text }
  for (const line of listed) lineAdd(work, rule, line, trigger, strength, { ...found, ...size })
  if (listed.length) return
  const own = placesOfLine(work.shape, host, trigger.at)?.places
  if (own === undefined) return
  const [end, other] = OTHER[trigger.side]
  const draft = draftOf(work.drafts, {
    key: `split-pin:${itemKey(host.item)}${host.side ? `/${host.side}` : ''}${end}${other}`,
    kind: 'part',
    partId: part?.partId ?? null,
    item: null,
    description: part?.description ?? text,
    unit: part?.unit ?? 'each',
    ...(part ? {} : { wanted: text }),
  })
  const perPlace = sharePieces(quantityPerPlace(host, trigger.stations, own), work.share(host, trigger))
  placesKeep(draft, host, own, trigger.stations, perPlace)
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
  if (amount !== null && (then.per === 'line' || then.per === 'piece')) {
    const pieces = sharePieces(piecesOf(trigger), work.share(trigger.line, trigger))
    const count = then.per === 'line' ? codesCount(trigger) : pieces
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
    const codes = new Set(trigger.places.map(placeCode).filter((code) => code !== ''))
    if (amount !== null && then.per === 'position') for (const code of codes) counted.places.add(code)
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
  // Nothing is to be done at an end that may stay shut; parts and consumables are offered, so that they can be taken in one go.
  if (trigger.side === 'other-end' && trigger.cap !== 'must') return
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
  const strength = trigger.side === 'main' ? rule.strength : weaker(rule.strength, trigger.cap)
  switch (then.what) {
    case 'same-part-at-paired-position':
    case 'opposite-station':
    case 'same-part-at-other-end':
      // Done before anything else, since they decide what comes off on the other side: otherSideAdd.
      break
    case 'rest-of-set':
      setRest(work, rule, trigger, found)
      break
    case 'same-line':
      lineAdd(work, rule, trigger.line, trigger, strength, found)
      break
    case 'line-of-class':
      for (const partClass of then.partClass) {
        for (const line of linesNear(work.shape, trigger.line, partClass, then.within)) {
          lineAdd(work, rule, line, trigger, strength, found)
        }
      }
      break
    case 'matched-line': {
      const matched = itemKey(trigger.line.facts.matchedWith ?? '')
      for (const line of work.shape.input.lines)
        if (itemKey(line.item) === matched) lineAdd(work, rule, line, trigger, strength, found)
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
