import { partNumberKey } from '../catalogue/part-number.ts'
import type { Question } from './question.ts'
import { type SearchTerm, SYMPTOM_GROUPS } from './thesaurus.ts'
import { searchNormal, wordStem } from './words.ts'

/** Where on a machine, as a driver tells it. Left and right are those of somebody who sits in the seat and looks ahead. */
export const DIRECTIONS = ['left', 'right', 'front', 'rear'] as const
export type Direction = (typeof DIRECTIONS)[number]

/** Near side is the kerb side where traffic keeps left: common practice in the United Kingdom, no source. */
const WORDS: Record<Direction, readonly string[]> = {
  left: ['left', 'left hand', 'lh', 'lhs', 'l h', 'nearside', 'near side', 'n s'],
  right: ['right', 'right hand', 'rh', 'rhs', 'r h', 'offside', 'off side', 'o s'],
  front: ['front', 'fore'],
  rear: ['rear', 'back', 'aft', 'hind'],
}
const OF_WORD = new Map(DIRECTIONS.flatMap((direction) => WORDS[direction].map((word) => [word, direction])))
/** Said behind a direction they add nothing to it: left-hand side, rear end. */
const TAILS = new Set(['side', 'hand side', 'hand', 'end', 'wheel side'])
const AXIS: Record<Direction, 'side' | 'end'> = { left: 'side', right: 'side', front: 'end', rear: 'end' }

interface Parted {
  directions: Direction[]
  rest: SearchTerm[]
}

/** Takes the words for a position out of what was asked for. "back" of "back plate" stays: the thesaurus reads it as one thing. */
function termsParted(terms: readonly SearchTerm[]): Parted {
  const parted: Parted = { directions: [], rest: [] }
  for (let at = 0; at < terms.length; at++) {
    const one = terms[at]!
    const two = at + 1 < terms.length ? OF_WORD.get(`${one.typed} ${terms[at + 1]!.typed}`) : undefined
    const direction = two ?? OF_WORD.get(one.typed)
    if (direction === undefined) {
      parted.rest.push(one)
      continue
    }
    if (!parted.directions.includes(direction)) parted.directions.push(direction)
    if (two !== undefined) at++
    if (TAILS.has(terms[at + 1]?.typed ?? '')) at++
  }
  return parted
}

const SYMPTOM_STEMS = new Set(
  SYMPTOM_GROUPS.flatMap((group) => group.map((phrase) => searchNormal(phrase).split(' ').map(wordStem).join(' '))),
)
const isSymptom = ({ typed }: SearchTerm) => SYMPTOM_STEMS.has(typed.split(' ').map(wordStem).join(' '))

/** A question with its words for a position apart. */
export interface PositionRead {
  directions: Direction[]
  /** The same question without them; null when nothing else was said. */
  rest: Question | null
  /** What is left when the words for what a machine does are taken out too: the thing that does it. */
  thing: Question | null
}

function withTerms(question: Question, terms: SearchTerm[], symptoms: SearchTerm[]): Question | null {
  if (terms.length === 0 && symptoms.length === 0) return null
  const text = (terms.length > 0 ? terms : symptoms).map(({ typed }) => typed).join(' ')
  return { ...question, text, key: partNumberKey(text), terms, symptoms }
}

/** Example: of "left brake binds" the direction is left, the rest "brake binds", the thing "brake". */
export function positionRead(question: Question): PositionRead {
  const terms = termsParted(question.terms)
  const symptoms = termsParted(question.symptoms)
  const things = symptoms.rest.filter((term) => !isSymptom(term))
  return {
    // A phrase such as "pulls left" tells what the machine does; "left" in it is no position.
    directions: symptoms.directions,
    rest: symptoms.directions.length === 0 ? question : withTerms(question, terms.rest, symptoms.rest),
    thing: things.length === 0 ? null : withTerms(question, things, things),
  }
}

/** The directions in the words of a label, such as "LH" or "Front axle, left-hand". */
export function directionsOf(text: string): Direction[] {
  const words = searchNormal(text).split(' ')
  const terms = words.map((typed) => ({ typed, others: [] }))
  return termsParted(terms).directions
}

/** Whether one speaks of an axis on which the other means the opposite: a front axle, where the rear was said. */
export function directionsApart(own: readonly Direction[], asked: readonly Direction[]): boolean {
  return asked.some(
    (direction) => !own.includes(direction) && own.some((of) => of !== direction && AXIS[of] === AXIS[direction]),
  )
}

/** Every word for the directions, for an index: what jobs say of a side. */
export function directionWords(directions: readonly Direction[]): string[] {
  return directions.flatMap((direction) => WORDS[direction])
}

/** Reads what an address carries from the search to the job: directions with commas between; strange words are left out. */
export function directionsRead(text: string | undefined): Direction[] {
  const said = (text ?? '').split(',')
  return DIRECTIONS.filter((direction) => said.includes(direction))
}

/**
 * The positions of a figure that were meant: on every axis that both speak of they agree, and they speak of one. None when that
 * would be all of them: "front" tells no wheel of a front axle from the other. Example: ['left'] of LH and RH is ['LH'].
 */
export function positionsMeant(
  positions: readonly { code: string; label: string }[],
  directions: readonly Direction[],
): string[] {
  const meant = positions.filter(({ code, label }) => {
    const own = new Set([...directionsOf(label), ...directionsOf(code)])
    const axes = directions.map((direction) => ({
      agrees: own.has(direction),
      speaks: [...own].some((of) => AXIS[of] === AXIS[direction]),
    }))
    return axes.some(({ agrees }) => agrees) && axes.every(({ agrees, speaks }) => agrees || !speaks)
  })
  return meant.length === positions.length ? [] : meant.map(({ code }) => code)
}
