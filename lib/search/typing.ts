/**
 * Slips of the finger: a letter too many, one missing, one wrong, two swapped. F. J. Damerau (1964) found four in five
 * misspelt words to be one of these four (Communications of the ACM 7, p. 171).
 */

/** Slips that a word of so many letters may have. One letter alone is no word with a slip in it. */
export function slipsAllowed(letters: number): number {
  return letters >= 9 ? 2 : letters >= 2 ? 1 : 0
}

/** Up to so many letters a word is short: many other words are one slip away, so more is asked of the one that was meant. */
export const SHORT_LETTERS_MAX = 4
/** "pn" is pin; a word of two letters is never looked for in place of another. */
const MEANT_LETTERS_MIN = 3

/**
 * How far a short word is from the one that may have been meant: letters swapped or left out are the likelier slips of a hand in
 * a glove, then one too many, then a wrong one; a wrong first letter is the last to be thought of. Common practice, no source.
 */
function shortSlip(typed: string, known: string): number {
  if (typed.length < known.length) return typed.length < MEANT_LETTERS_MIN && typed[0] !== known[0] ? 2 : 1
  if (typed.length > known.length) return 1.1
  const wrong = [...typed].filter((letter, at) => letter !== known[at]).length
  return wrong === 2 ? 1 : typed[0] === known[0] ? 1.2 : 1.3
}

/**
 * How many slips lead from one word to the other, each place touched once (optimal string alignment); `most + 1` as soon as it is
 * more than `most`. Example: slipsBetween('cottre', 'cotter', 2) is 1.
 */
export function slipsBetween(a: string, b: string, most: number): number {
  if (Math.abs(a.length - b.length) > most) return most + 1
  let before: number[] = []
  let last = Array.from({ length: b.length + 1 }, (_, at) => at)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    let least = i
    for (let j = 1; j <= b.length; j++) {
      const wrong = a[i - 1] === b[j - 1] ? 0 : 1
      let slips = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + wrong)
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) slips = Math.min(slips, before[j - 2]! + 1)
      row.push(slips)
      least = Math.min(least, slips)
    }
    if (least > most) return most + 1
    before = last
    last = row
  }
  return Math.min(last[b.length]!, most + 1)
}

/** The letters of a word as bits, so that most words are told apart without walking through them. */
function lettersOf(word: string): number {
  let bits = 0
  for (let at = 0; at < word.length; at++) bits |= 1 << (word.charCodeAt(at) & 31)
  return bits
}

function bitsCount(bits: number): number {
  let count = 0
  for (let left = bits; left !== 0; left &= left - 1) count++
  return count
}

interface KnownWord {
  word: string
  /** How often it is written; decides between two that are equally near. */
  count: number
  letters: number
}

/** The words that are written somewhere in the books, ready to be asked what a misspelt one may have meant. */
export class Vocabulary {
  readonly #words: KnownWord[]
  readonly #sorted: string[]
  readonly #known: Set<string>
  readonly #trade: ReadonlySet<string>

  /** `trade` are the words of the trade: among short words they are thought of first. */
  constructor(counts: ReadonlyMap<string, number>, trade: ReadonlySet<string> = new Set()) {
    this.#trade = trade
    this.#words = [...counts].map(([word, count]) => ({ word, count, letters: lettersOf(word) }))
    this.#sorted = [...counts.keys()].sort()
    this.#known = new Set(this.#sorted)
  }

  /** Whether the word, or one that begins with it where it may go on, is written somewhere. */
  knows(word: string, isOpen = false): boolean {
    // So many words begin with two or three letters that it tells nothing.
    if (this.#known.has(word) || !isOpen || word.length < SHORT_LETTERS_MAX) return this.#known.has(word)
    let [low, high] = [0, this.#sorted.length]
    while (low < high) {
      const middle = (low + high) >> 1
      if (this.#sorted[middle]! < word) low = middle + 1
      else high = middle
    }
    return this.#sorted[low]?.startsWith(word) ?? false
  }

  /** A short word that is written somewhere, but is none of the trade: it may be a slip that hits another word. */
  doubts(word: string): boolean {
    return word.length >= MEANT_LETTERS_MIN && word.length <= SHORT_LETTERS_MAX && !this.#trade.has(word)
  }

  /**
   * Words that may have been meant, nearest first, then the most written. A single letter and words with digits have none. A
   * longer word that may go on is also compared with beginnings: "diahpr" of "diaphragm".
   */
  meant(word: string, isOpen = false, take = 3): string[] {
    const fewest = slipsAllowed(word.length)
    if (fewest === 0 || /[^\p{L}]/u.test(word)) return []
    const letters = lettersOf(word)
    const isShort = word.length <= SHORT_LETTERS_MAX
    const found: { word: string; slips: number; count: number }[] = []
    for (const known of this.#words) {
      if (known.word.length < MEANT_LETTERS_MIN || known.word === word) continue
      // The longer of the two counts: "diafragm" has eight letters because one of nine was left out.
      const most = slipsAllowed(Math.max(word.length, Math.min(known.word.length, word.length + 2)))
      // Each slip brings at most one letter that the other word has not.
      if (bitsCount(letters & ~known.letters) > most) continue
      const whole = slipsBetween(word, known.word, most)
      if (isShort) {
        const slips = whole <= most ? shortSlip(word, known.word) : 2
        if (slips < 2) found.push({ word: known.word, slips, count: known.count })
        continue
      }
      const slips = whole <= most || !isOpen ? whole : beginningSlips(word, known.word, fewest)
      // A beginning counts half a slip more than a whole word.
      if (whole <= most) found.push({ word: known.word, slips, count: known.count })
      else if (slips <= fewest) found.push({ word: known.word, slips: slips + 0.5, count: known.count })
    }
    return found
      .sort(
        (a, b) =>
          (isShort ? this.#tradeFirst(a.word, b.word) : 0) ||
          a.slips - b.slips ||
          b.count - a.count ||
          (a.word < b.word ? -1 : 1),
      )
      .slice(0, take)
      .map(({ word: meant }) => meant)
  }

  #tradeFirst(a: string, b: string): number {
    return Number(this.#trade.has(b)) - Number(this.#trade.has(a))
  }
}

function beginningSlips(word: string, known: string, most: number): number {
  if (known.length <= word.length) return most + 1
  let least = most + 1
  for (let length = word.length - 1; length <= word.length + 1; length++)
    least = Math.min(least, slipsBetween(word, known.slice(0, length), most))
  return least
}
