import data from './thesaurus.json'

/**
 * What a person typed or a description says, as search compares it: compatibility forms folded, marks and case gone,
 * hyphens between letters opened ("O-ring" is "o ring"), numbers with their hyphens and points kept ("AB-12.3" is "ab-12.3").
 */
export function searchNormal(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .replace(/×/g, 'x')
    .toLowerCase()
    .replace(/ß/g, 'ss')
    .replace(/['’`]/g, '')
    .replace(/(?<=\p{L})[-‐‑–/](?=\p{L})/gu, ' ')
    .split(/[\s,;:!?"()[\]{}]+/u)
    .map((word) => word.replace(/^[^\p{L}\p{N}]+|[^\p{L}\p{N}]+$/gu, ''))
    .filter((word) => word !== '')
    .join(' ')
}

const IRREGULAR: Record<string, string> = {
  knives: 'knife',
  halves: 'half',
  shelves: 'shelf',
  vices: 'vice',
  vises: 'vise',
}

/** One of a thing: pins, brushes, bushes, assemblies. Words that end in ss, us or is are one already. */
function singular(word: string): string {
  if (IRREGULAR[word]) return IRREGULAR[word]
  if (word.length < 4 || /\d/.test(word) || /(ss|us|is)$/.test(word)) return word
  if (/[^aeiou]ies$/.test(word)) return `${word.slice(0, -3)}y`
  if (/(ch|sh|x|ss)es$/.test(word)) return word.slice(0, -2)
  return word.endsWith('s') ? word.slice(0, -1) : word
}

function keyOf(words: readonly string[]): string {
  return words.map(singular).join(' ')
}

interface Thesaurus {
  /** Words of one meaning, by the key of each. A word of two meanings has both. */
  byKey: Map<string, string[]>
  longest: number
}

function thesaurusOf(groups: readonly (readonly string[])[]): Thesaurus {
  const byKey = new Map<string, string[]>()
  let longest = 1
  for (const group of groups) {
    const normal = group.map(searchNormal)
    for (const phrase of normal) {
      const words = phrase.split(' ')
      longest = Math.max(longest, words.length)
      byKey.set(keyOf(words), [...(byKey.get(keyOf(words)) ?? []), ...normal])
    }
  }
  return { byKey, longest }
}

const THESAURUS = thesaurusOf(data.groups)

export const THESAURUS_GROUPS: readonly (readonly string[])[] = data.groups

/**
 * The words of a search, each with what else it may be called; a hit needs one of each. Longest phrases are taken first, so that
 * "split pin" is not read as "split" and "pin". Plurals find their singular. Everything comes back as `searchNormal` writes it,
 * what was typed first. Example: searchExpand('tyre M16') is [['tyre', 'tire'], ['m16']].
 */
export function searchExpand(query: string): string[][] {
  const normal = searchNormal(query)
  if (normal === '') return []
  const words = normal.split(' ')
  const out: string[][] = []
  for (let at = 0; at < words.length; ) {
    let taken = Math.min(THESAURUS.longest, words.length - at)
    while (taken > 1 && !THESAURUS.byKey.has(keyOf(words.slice(at, at + taken)))) taken--
    const typed = words.slice(at, at + taken)
    const others = THESAURUS.byKey.get(keyOf(typed)) ?? []
    out.push([...new Set([typed.join(' '), keyOf(typed), ...others])])
    at += taken
  }
  return out
}
