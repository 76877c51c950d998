import data from './thesaurus.json'
import { searchNormal, singular } from './words.ts'

export interface Thesaurus {
  /** Words of one meaning, by the key of each. A word of two meanings has both. */
  byKey: Map<string, string[]>
  /** The same, by the key without spaces: "splitpin" is "split pin". */
  byRun: Map<string, string[]>
  /** Keys in the order of an index, for finding those that begin with what is being typed. */
  keys: string[]
  /** Every single word in it. */
  words: Set<string>
  /** Words of the longest phrase. */
  longest: number
  /** The same with the words for what a machine does, for looking through past jobs. */
  symptoms: Thesaurus | null
}

function keyOf(words: readonly string[]): string {
  return words.map(singular).join(' ')
}

/**
 * Groups of words that name one thing, made ready to be asked; `symptoms` are looked for in past jobs only. Every word of a group
 * leads to all of it.
 */
export function thesaurusOf(
  groups: readonly (readonly string[])[],
  symptoms: readonly (readonly string[])[] = [],
): Thesaurus {
  const things = groupsIndex(groups)
  return symptoms.length === 0 ? things : { ...things, symptoms: groupsIndex([...groups, ...symptoms]) }
}

function groupsIndex(groups: readonly (readonly string[])[]): Thesaurus {
  const byKey = new Map<string, string[]>()
  const byRun = new Map<string, string[]>()
  const words = new Set<string>()
  let longest = 1
  for (const group of groups) {
    const normal = group.map(searchNormal).filter((phrase) => phrase !== '')
    for (const phrase of normal) {
      const parts = phrase.split(' ')
      longest = Math.max(longest, parts.length)
      for (const word of parts) words.add(word)
      const key = keyOf(parts)
      byKey.set(key, [...(byKey.get(key) ?? []), ...normal])
      byRun.set(key.replaceAll(' ', ''), [...(byRun.get(key.replaceAll(' ', '')) ?? []), ...normal])
    }
  }
  return { byKey, byRun, keys: [...byKey.keys()].sort(), words, longest, symptoms: null }
}

export const THESAURUS_GROUPS: readonly (readonly string[])[] = data.groups
export const SYMPTOM_GROUPS: readonly (readonly string[])[] = data.symptoms
export const THESAURUS = thesaurusOf(THESAURUS_GROUPS, SYMPTOM_GROUPS)

/** Meanings of a phrase that is still being typed: "hose cla" begins "hose clamp". */
const BEGUN_LETTERS_MIN = 4
const BEGUN_KEYS_MAX = 8

function begunBy(start: string, { keys, byKey }: Thesaurus): string[] {
  if (start.length < BEGUN_LETTERS_MIN) return []
  let [low, high] = [0, keys.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if (keys[middle]! < start) low = middle + 1
    else high = middle
  }
  const found: string[] = []
  for (let at = low; at < keys.length && at < low + BEGUN_KEYS_MAX && keys[at]!.startsWith(start); at++)
    found.push(...byKey.get(keys[at]!)!)
  return found
}

/** One thing that was asked for: as typed, and what else it is called. */
export interface SearchTerm {
  typed: string
  /** Other names of the same thing, never the typed one. */
  others: string[]
}

/**
 * The things a search asks for. Longest phrases are taken first, so that "split pin" is not read as "split" and "pin"; plurals
 * find their singular; a phrase written as one word is found, and the last phrase may be half typed.
 */
export function searchTerms(query: string, thesaurus: Thesaurus = THESAURUS): SearchTerm[] {
  const normal = searchNormal(query)
  if (normal === '') return []
  const words = normal.split(' ')
  const terms: SearchTerm[] = []
  for (let at = 0; at < words.length; ) {
    let taken = Math.min(thesaurus.longest, words.length - at)
    while (taken > 1 && !thesaurus.byKey.has(keyOf(words.slice(at, at + taken)))) taken--
    let others = thesaurus.byKey.get(keyOf(words.slice(at, at + taken))) ?? []
    // A phrase that ends what was typed may go on: "brake bac" of "brake backplate".
    for (
      let tail = Math.min(thesaurus.longest, words.length - at);
      tail >= taken && at + tail === words.length;
      tail--
    ) {
      const begun = begunBy(words.slice(at).join(' '), thesaurus)
      if (begun.length === 0) continue
      if (tail > taken) [taken, others] = [tail, []]
      others = [...others, ...begun]
      break
    }
    const typed = words.slice(at, at + taken).join(' ')
    if (others.length === 0 && typed.length >= 6)
      others = thesaurus.byRun.get(keyOf(typed.split(' ')).replaceAll(' ', '')) ?? []
    terms.push({ typed, others: [...new Set(others)].filter((other) => other !== typed) })
    at += taken
  }
  return terms
}

/**
 * The words of a search, each with what else it may be called. Everything comes back as `searchNormal` writes it, what was
 * typed first. Example: searchExpand('tyre M16') is [['tyre', 'tire'], ['m16']].
 */
export function searchExpand(query: string, thesaurus: Thesaurus = THESAURUS): string[][] {
  return searchTerms(query, thesaurus).map(({ typed, others }) => [
    ...new Set([typed, keyOf(typed.split(' ')), ...others]),
  ])
}
