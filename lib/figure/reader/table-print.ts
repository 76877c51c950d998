import type { GreyPage, PageBox } from './schema.ts'

/**
 * Print as a reader of lines gives it, with the slips put right that the neighbours of a sign make plain: capital I and small
 * l, O and 0 look alike, and wide or foreign forms of signs are given their plain one.
 */
export function printTidied(text: string): string {
  return (
    text
      .normalize('NFKC')
      .replace(/×/g, 'x')
      // Standards are named on every second line of a list of fasteners.
      .replace(/(?<![\p{L}\d])[I1l][S5][0O](?=[\s-]?\d{2})/gu, 'ISO')
      .replace(/(?<=\d)[OoQ](?=\d)/g, '0')
      .replace(/(?<=\d)[lI|](?=\d)/g, '1')
      .replace(/(?<=\p{Ll})0(?=\p{Ll})/gu, 'o')
      .replace(/(?<=\p{Lu})l(?=\p{Lu})/gu, 'I')
      .replace(/(?<![\p{L}\d])l(?=[bcdfghjkmnpqrstvwxz])/gu, 'I')
      .replace(/\s+/g, ' ')
      .trim()
  )
}

/** White between two words, as a share of the height of the line; letters of one word stand closer. */
const WORD_GAP = 0.3
/** The digit 1 stands in the middle of the width of the other digits and has white on both sides. */
const WORD_GAP_AT_ONE = 0.48
const INK = 0.45
/** A space is so many times as wide as most gaps between letters, where there are enough of them to tell. */
const GAP_RATIO = 1.9
const GAPS_MIN = 5

/**
 * Puts back spaces that the reader of lines left out. Where it tells the places of its signs, each wide gap between two marks
 * is a space between the signs on both sides; else only where the marks of a line, counted from the left, are as many as the
 * signs that were read. Where neither is so, the text stays as it was read.
 */
export function spacesPut(page: GreyPage, box: PageBox, text: string, places?: readonly number[]): string {
  const marks = marksOf(page, box)
  const tall = box[3] - box[1]
  const signs = [...text]
  if (places !== undefined && places.length === signs.length) return spacesPlaced(marks, box, signs, places)
  const inked = signs.filter((sign) => sign.trim() !== '')
  // A sign in two marks, such as the quotation mark, or two that touch, break the count.
  if (marks.length !== inked.length || inked.length < 3) return text
  const read = new Set<number>()
  for (const [at, sign] of signs.entries()) if (/\s/.test(sign)) read.add(at - read.size)
  return inked
    .map((sign, at) => {
      if (at === 0) return sign
      const wide = (marks[at]![0] - marks[at - 1]![1]) / tall
      return (wide >= gapOf(inked[at - 1]!, sign) || read.has(at) ? ' ' : '') + sign
    })
    .join('')
}

const gapOf = (before: string, after: string) => (before === '1' || after === '1' ? WORD_GAP_AT_ONE : WORD_GAP)

function spacesPlaced(
  marks: readonly [number, number][],
  [left, top, right, bottom]: PageBox,
  signs: readonly string[],
  places: readonly number[],
): string {
  const spaced = new Set<number>()
  const gaps = marks.slice(1).map((mark, at) => mark[0] - marks[at]![1])
  // On a coarse copy letters stand a pixel or two further apart: a space is then plainly wider than they.
  const letters = gaps.length >= GAPS_MIN ? [...gaps].sort((a, b) => a - b)[gaps.length >> 1]! : 0
  for (let at = 1; at < marks.length; at++) {
    const [from, to] = [marks[at - 1]![1], marks[at]![0]]
    const middle = ((from + to) / 2 - left) / (right - left)
    const after = places.findIndex((place) => place > middle)
    if (after < 1 || signs[after]!.trim() === '' || signs[after - 1]!.trim() === '') continue
    const least = Math.max(gapOf(signs[after - 1]!, signs[after]!) * (bottom - top), GAP_RATIO * letters + 0.5)
    if (to - from >= least) spaced.add(after)
  }
  return signs.map((sign, at) => (spaced.has(at) ? ` ${sign}` : sign)).join('')
}

/** Runs of columns of pixels with ink in a line of print: about one a letter. */
export function marksOf(page: GreyPage, [left, top, right, bottom]: PageBox): [number, number][] {
  let darkest = 255
  let lightest = 0
  const each = (x: number, run: (value: number) => void) => {
    for (let y = Math.max(0, Math.floor(top)); y < Math.min(page.height, Math.ceil(bottom)); y++)
      run(page.data[y * page.width + x]!)
  }
  const [from, to] = [Math.max(0, Math.floor(left)), Math.min(page.width, Math.ceil(right))]
  for (let x = from; x < to; x++)
    each(x, (value) => {
      if (value < darkest) darkest = value
      if (value > lightest) lightest = value
    })
  const limit = lightest - INK * (lightest - darkest)
  const marks: [number, number][] = []
  for (let x = from; x < to; x++) {
    let ink = false
    each(x, (value) => {
      if (value < limit) ink = true
    })
    const last = marks.at(-1)
    if (ink && last && last[1] === x) last[1] = x + 1
    else if (ink) marks.push([x, x + 1])
  }
  return marks
}
