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
const IRREGULAR_PLURAL = new Map(Object.entries(IRREGULAR).map(([many, one]) => [one, many]))

/** One of a thing: pins, brushes, bushes, assemblies. Words that end in ss, us or is are one already. */
export function singular(word: string): string {
  if (Object.hasOwn(IRREGULAR, word)) return IRREGULAR[word]!
  if (word.length < 4 || /\d/.test(word) || /(ss|us|is)$/.test(word)) return word
  if (/[^aeiou]ies$/.test(word)) return `${word.slice(0, -3)}y`
  if (/(ch|sh|x|ss)es$/.test(word)) return word.slice(0, -2)
  return word.endsWith('s') ? word.slice(0, -1) : word
}

/** Several of a thing: pin, brush, assembly, knife. */
function plural(word: string): string {
  const irregular = IRREGULAR_PLURAL.get(word)
  if (irregular) return irregular
  if (/[^aeiou]y$/.test(word)) return `${word.slice(0, -1)}ies`
  return /(ch|sh|x|s)$/.test(word) ? `${word}es` : `${word}s`
}

/** A word as typed, as one and as several; a number stands for itself. */
export function wordForms(word: string): string[] {
  if (word.length < 3 || /[^\p{L}]/u.test(word)) return [word]
  const one = singular(word)
  return [...new Set([word, one, plural(one)])]
}

const STEM_LETTERS_MIN = 3

/** What "binds", "binding" and "bind" begin with alike: how people write of what a machine does. */
export function wordStem(word: string): string {
  if (/[^\p{L}]/u.test(word)) return word
  const one = singular(word)
  const bare = one.replace(/(ing|ed)$/, '')
  // "dragging" is of "drag", "rumbling" of "rumble".
  const single = bare === one ? one.replace(/e$/, '') : bare.replace(/([^aeioul])\1$/, '$1')
  return [single, one].find((stem) => stem.length >= STEM_LETTERS_MIN) ?? word
}
