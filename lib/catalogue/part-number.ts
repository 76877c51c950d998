/**
 * The key under which a part number, bin code, fleet number or name is unique: what a person would call "the same".
 * Compatibility forms are folded (NFKC), then case, marks, spaces and separators go: `AB-12 3` and `ab123` share a key.
 * Letters of every script and digits stay. `×` and `x`, `ß` and `ss`, `ς` and `σ` fold together.
 */
export function partNumberKey(text: string): string {
  return (
    text
      .normalize('NFKD')
      .replace(/\p{M}+/gu, '')
      .replace(/×/g, 'x')
      .toLowerCase()
      .replace(/ß/g, 'ss')
      // Lower case writes sigma another way at the end of a word, so a separator behind it would change the key.
      .replace(/ς/g, 'σ')
      .replace(/[^\p{L}\p{N}]+/gu, '')
  )
}

/** The key of a name of a person, store or supplier: like a part number, but words stay apart ("Van 1" is not "Van1"). */
export function nameKey(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase()
    .replace(/ß/g, 'ss')
    .trim()
    .replace(/\s+/gu, ' ')
}
