import type { GreyPage, PageBox } from './schema.ts'

/**
 * Print as a reader of lines gives it, with the slips put right that the neighbours of a sign make plain: capital I and small
 * l, O and 0 look alike, and wide or foreign forms of signs are given their plain one.
 */
export function printTidied(text: string): string {
  return text
    .normalize('NFKC')
    .replace(/×/g, 'x')
    .replace(/(?<=\d)[OoQ](?=\d)/g, '0')
    .replace(/(?<=\d)[lI|](?=\d)/g, '1')
    .replace(/(?<=\p{Ll})0(?=\p{Ll})/gu, 'o')
    .replace(/(?<=\p{Lu})l(?=\p{Lu})/gu, 'I')
    .replace(/(?<![\p{L}\d])l(?=[bcdfghjkmnpqrstvwxz])/gu, 'I')
    .replace(/\s+/g, ' ')
    .trim()
}

/** White between two words, as a share of the height of the line; letters of one word stand closer. */
const WORD_GAP = 0.3
/** The digit 1 stands in the middle of the width of the other digits and has white on both sides. */
const WORD_GAP_AT_ONE = 0.48
const INK = 0.45

/**
 * Puts back spaces that the reader of lines left out: where the marks of a line, counted from the left, are as many as the
 * signs that were read, each wide gap between marks is a space too. Where they are not, the text stays as it was read.
 */
export function spacesPut(page: GreyPage, box: PageBox, text: string): string {
  const signs = [...text.replace(/\s/g, '')]
  const marks = marksOf(page, box)
  // A sign in two marks, such as the quotation mark, or two that touch, break the count.
  if (marks.length !== signs.length || signs.length < 3) return text
  const tall = box[3] - box[1]
  const read = new Set<number>()
  for (const [at, sign] of [...text.trim()].entries()) if (/\s/.test(sign)) read.add(at - read.size)
  return signs
    .map((sign, at) => {
      if (at === 0) return sign
      const wide = (marks[at]![0] - marks[at - 1]![1]) / tall
      const one = sign === '1' || signs[at - 1] === '1'
      return (wide >= (one ? WORD_GAP_AT_ONE : WORD_GAP) || read.has(at) ? ' ' : '') + sign
    })
    .join('')
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
