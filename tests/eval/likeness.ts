/** Item numbers are the same whatever their case, spacing and trailing point: "12a." is 12A. */
export const itemKey = (item: string): string =>
  item.normalize('NFKC').replace(/\s+/g, '').replace(/\.+$/, '').toUpperCase()

/** Text of a row without case, spacing and punctuation; the multiplication sign counts as the letter it is typed with. */
export const textKey = (text: string): string =>
  text
    .replace(/[×✕]/g, 'x')
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '')

/** Least number of letters to put in, take out or change to make one text of the other (V. I. Levenshtein 1966). */
export function editDistance(one: string, other: string): number {
  const from = [...one]
  const to = [...other]
  let row = Array.from({ length: to.length + 1 }, (_, at) => at)
  for (let i = 1; i <= from.length; i++) {
    const next = [i]
    for (let j = 1; j <= to.length; j++)
      next.push(Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (from[i - 1] === to[j - 1] ? 0 : 1)))
    row = next
  }
  return row[to.length]!
}

/** Letters wrong as a share of the true text; 0 is the same, and two empty texts are the same. */
export function textError(truth: string, read: string): number {
  const [a, b] = [textKey(truth), textKey(read)]
  if (a === b) return 0
  return editDistance(a, b) / Math.max(1, [...a].length)
}
