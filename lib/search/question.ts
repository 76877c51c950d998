import { partNumberKey } from '../catalogue/part-number.ts'
import { type SearchTerm, searchTerms, THESAURUS, type Thesaurus } from './thesaurus.ts'
import { searchNormal, wordForms, wordStem } from './words.ts'

/** Longer than any part number or sentence somebody types to find one; the rest is not looked at. */
export const QUESTION_LETTERS_MAX = 200
const WORDS_MAX = 12
/** Words that tell nothing about a part. Kept when they are all there is. */
const SMALL_WORDS = new Set(['for', 'of', 'the', 'and', 'to', 'with', 'in', 'from', 'does', 'will', 'is', 'at', 'on'])

/** What somebody typed, taken apart for the searches of each kind. */
export interface Question {
  text: string
  /** The whole of it as a number: `partNumberKey`. */
  key: string
  terms: SearchTerm[]
  /** The same as a past job may tell of it. */
  symptoms: SearchTerm[]
  /** The last word may go on: no space has been typed behind it. */
  open: boolean
}

export function questionRead(typed: string, thesaurus: Thesaurus = THESAURUS): Question {
  // A sign that is half of a pair cannot be written to a database; a zero byte would end the text there.
  const text = typed
    .slice(0, QUESTION_LETTERS_MAX)
    .toWellFormed()
    .replace(/\p{Cc}+/gu, ' ')
  // "4 x 50" and "4 × 50" are one size, as the trade writes it: 4x50.
  const words = searchNormal(text.replace(/(\d)\s*[x×]\s*(?=\d)/giu, '$1x'))
    .split(' ')
    .filter((word) => word !== '')
  const telling = words.filter((word) => !SMALL_WORDS.has(word))
  const asked = (telling.length > 0 ? telling : words).slice(0, WORDS_MAX).join(' ')
  const terms = searchTerms(asked, thesaurus)
  const symptoms = thesaurus.symptoms ? searchTerms(asked, thesaurus.symptoms) : terms
  return { text, key: partNumberKey(text), terms, symptoms, open: !/\s$/u.test(text) }
}

/** Quoted for the index, letters and digits only, so that nothing in it is read as an operator. */
function quoted(word: string, isBeginning = false): string | null {
  const pieces = word.match(/[\p{L}\p{N}]+/gu)
  return pieces ? `"${pieces.join(' ')}"${isBeginning ? '*' : ''}` : null
}

function anyOf(terms: readonly (string | null)[]): string | null {
  const there = [...new Set(terms.filter((term) => term !== null))]
  return there.length === 0 ? null : there.length === 1 ? there[0]! : `(${there.join(' OR ')})`
}

function allOf(terms: readonly (string | null)[]): string | null {
  const there = [...new Set(terms.filter((term) => term !== null))]
  return there.length === 0 ? null : there.length === 1 ? there[0]! : `(${there.join(' AND ')})`
}

/** A word in every spelling it may have in a list: pin, pins; AB-12, ab12, AB 12; 4x50, 4 x 50. */
function wordMatch(word: string, isOpen: boolean): string | null {
  if (!/\d/.test(word))
    return anyOf([...wordForms(word).map((form) => quoted(form)), isOpen ? quoted(word, true) : null])
  const spellings = [
    word,
    word.replace(/[^\p{L}\p{N}]+/gu, ''),
    // Where letters meet digits a printed number often has a dash.
    word.replace(/(?<=\p{L})(?=\p{N})|(?<=\p{N})(?=\p{L})/gu, ' '),
    ...(/\dx\d/.test(word) ? [word.replace(/(?<=\d)x(?=\d)/g, ' ')] : []),
  ]
  return anyOf([...spellings.map((spelling) => quoted(spelling)), ...(isOpen ? [quoted(word, true)] : [])])
}

/** Every word of a phrase, in any order: a parts list says "PIN, SPLIT" as well as "split pin". */
function phraseMatch(phrase: string, isOpen = false): string | null {
  const words = phrase.split(' ')
  return allOf(words.map((word, at) => wordMatch(word, isOpen && at === words.length - 1)))
}

const isLast = (question: Question, at: number) => question.open && at === question.terms.length - 1

/** Asks an index for every word as typed; null when nothing was typed that an index could hold. */
export function matchTyped(question: Question): string | null {
  return allOf(question.terms.map((term, at) => phraseMatch(term.typed, isLast(question, at))))
}

/** One term, as typed or under another name; other names only in `column`, where one is given. */
export function matchTerm(question: Question, at: number, column?: string): string | null {
  const term = question.terms[at]!
  const others = anyOf(term.others.map((other) => phraseMatch(other)))
  return anyOf([phraseMatch(term.typed, isLast(question, at)), others && (column ? `${column} : ${others}` : others)])
}

/** Asks an index for every term under any of its names. */
export function matchAny(question: Question, column?: string): string | null {
  return allOf(question.terms.map((_, at) => matchTerm(question, at, column)))
}

/** "rub" begins "rubber": only a longer stem is looked for with whatever follows. */
const STEM_OPEN_MIN = 4

function stemMatch(phrase: string, isOpen = false): string | null {
  const words = phrase.split(' ')
  return allOf(
    words.map((word, at) => {
      const stem = wordStem(word)
      const isTail = isOpen && at === words.length - 1
      if (/\d/.test(word)) return wordMatch(word, isTail)
      if (stem.length >= STEM_OPEN_MIN) return quoted(stem, true)
      return anyOf([quoted(word, isTail), ...['', 's', 'ed', 'ing'].map((end) => quoted(stem + end))])
    }),
  )
}

/** Asks what jobs say of a machine, term by term: every form of every word, and its other names. */
export function matchSymptoms(question: Question): string[] {
  const { symptoms, open } = question
  return symptoms
    .map(({ typed, others }, at) =>
      anyOf([stemMatch(typed, open && at === symptoms.length - 1), ...others.map((other) => stemMatch(other))]),
    )
    .filter((match) => match !== null)
}

/** Asks an index for any of the words. */
export function matchAnyOf(words: readonly string[]): string | null {
  return anyOf(words.map((word) => quoted(word)))
}

/** The beginnings a description may have when it begins with what was asked for; as typed first. */
const BEGINNINGS_MAX = 12

export function questionBeginnings(question: Question): string[] {
  let beginnings = ['']
  for (const { typed, others } of question.terms) {
    const names = [typed, ...others]
    beginnings = beginnings.flatMap((start) => names.map((name) => (start === '' ? name : `${start} ${name}`)))
    beginnings = beginnings.slice(0, BEGINNINGS_MAX)
  }
  return beginnings.filter((beginning) => beginning !== '')
}
