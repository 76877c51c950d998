import { SYMPTOM_GROUPS, THESAURUS_GROUPS } from '../search/thesaurus.ts'
import { searchNormal, singular, wordStem } from '../search/words.ts'

/** Words that tell nothing of a fault. Sides are left out as well: they say where, not what. */
const SILENT = new Set(
  (
    'a an and are as at be been but by did do does for from had has have he her his i in into is it its me my no not of off on ' +
    'one or our out she so some than that the their then there they this to too two under up very was we were what when where ' +
    'which while who will with you seen after again now only just more most much day week hour minute ' +
    'left right lh rh nearside offside near side hand handed front rear'
  ).split(' '),
)

interface Meaning {
  words: string[]
  token: string
}

const SYMPTOM_TOKENS: ReadonlySet<string> = new Set(SYMPTOM_GROUPS.map((group) => tokenOf(group)))

/** Phrases of the thesaurus, longest first, each with the one name its group goes by. Symptoms win over things. */
const MEANINGS: ReadonlyMap<string, Meaning[]> = meaningsOf([...SYMPTOM_GROUPS, ...THESAURUS_GROUPS])

function stems(text: string): string[] {
  return searchNormal(text)
    .split(' ')
    .filter((word) => word !== '')
    .map((word) => wordStem(singular(word)))
}

function tokenOf(group: readonly string[]): string {
  return `=${stems(group[0]!).join(' ')}`
}

function meaningsOf(groups: readonly (readonly string[])[]): Map<string, Meaning[]> {
  const byFirst = new Map<string, Meaning[]>()
  const known = new Set<string>()
  for (const group of groups) {
    if (
      searchNormal(group[0]!)
        .split(' ')
        .every((word) => SILENT.has(word))
    )
      continue
    const token = tokenOf(group)
    for (const phrase of group) {
      const words = stems(phrase)
      const key = words.join(' ')
      if (words.length === 0 || known.has(key)) continue
      known.add(key)
      byFirst.set(words[0]!, [...(byFirst.get(words[0]!) ?? []), { words, token }])
    }
  }
  for (const meanings of byFirst.values()) meanings.sort((a, b) => b.words.length - a.words.length)
  return byFirst
}

/** A word for comparing, and how it was said. */
export interface SymptomWord {
  word: string
  said: string
}

/**
 * What a complaint tells of a fault, as words that can be compared: "Brake drags" and "brakes are binding" both give the words
 * for brake and for binding. Words of one meaning become one, endings and small words go, each is counted once.
 */
export function symptomSaid(text: string): SymptomWord[] {
  const spoken = searchNormal(text)
    .split(' ')
    .filter((word) => word !== '')
  const words = spoken.map((word) => wordStem(singular(word)))
  const told = new Map<string, string>()
  for (let at = 0; at < words.length; ) {
    const meaning = (MEANINGS.get(words[at]!) ?? []).find((one) => one.words.every((word, i) => words[at + i] === word))
    const taken = meaning?.words.length ?? 1
    const tells = meaning || (!SILENT.has(spoken[at]!) && words[at]!.length > 1 && !/^\d+$/.test(words[at]!))
    const word = meaning?.token ?? words[at]!
    if (tells && !told.has(word)) told.set(word, spoken.slice(at, at + taken).join(' '))
    // The name of a thing tells by its words as well: who says "brake" may mean the brake shoe.
    if (taken > 1 && !SYMPTOM_TOKENS.has(word))
      for (let i = at; i < at + taken; i++)
        if (!SILENT.has(spoken[i]!) && !told.has(words[i]!)) told.set(words[i]!, spoken[i]!)
    at += taken
  }
  return [...told].map(([word, said]) => ({ word, said }))
}

export function symptomWords(text: string): string[] {
  return symptomSaid(text).map(({ word }) => word)
}
