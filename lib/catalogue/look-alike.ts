/**
 * Signs that are taken for one another on a worn plate, in a photograph or in somebody's hand. Common practice, no source;
 * ISO 3779 leaves I, O and Q out of vehicle identification numbers for the same reason (from memory).
 */
const ALIKE = ['0o', '1il', '2z', '5s', '8b'] as const
const OTHERS = new Map(ALIKE.flatMap((signs) => [...signs].map((sign) => [sign, [...signs].filter((o) => o !== sign)])))

/** More spellings are not looked for: a number full of such signs would have thousands. */
const SPELLINGS_MAX = 200

/**
 * The other keys that may have been meant by a number in which signs were taken for others, those with the fewest changed signs
 * first; none for a key without a digit, which is a word. Example: lookAlikes('dm6o') is ['dm60'].
 */
export function lookAlikes(key: string): string[] {
  if (!/\d/.test(key)) return []
  const seen = new Set([key])
  let last = [key]
  while (last.length > 0 && seen.size <= SPELLINGS_MAX) {
    const next: string[] = []
    for (const spelling of last)
      for (let at = 0; at < key.length; at++) {
        // Each sign is changed once: what already differs from what was typed stays.
        if (spelling[at] !== key[at]) continue
        for (const other of OTHERS.get(key[at]!) ?? []) {
          const changed = spelling.slice(0, at) + other + spelling.slice(at + 1)
          if (seen.has(changed)) continue
          seen.add(changed)
          next.push(changed)
        }
      }
    last = next
  }
  return [...seen].slice(1, SPELLINGS_MAX + 1)
}
