import { blobsOf } from './blobs.ts'
import type { Ink } from './page-ink.ts'
import type { PageRules, Rule } from './page-lines.ts'
import type { PageBox, TextRun } from './schema.ts'

/** Print that hangs together on one line: a word or several; a wide gap parts the columns of a list. */
export interface TextPiece {
  box: PageBox
  /** Number of separate marks: about one a letter. */
  marks: number
  /** What the page itself says stands there; null when it has to be read. */
  text: string | null
}

const TALL_MIN = 6
const TALL_SHARE = 0.028
/** Gap within a line of words, as a share of the height of the letters; columns stand further apart. */
const WORD_GAP = 0.85
const TALL_RATIO = 3
/** A mark this small is a full stop close behind a letter, or a speck: it does not bridge the gap between words. */
const DUST = 4
const DUST_GAP = 0.4
/** A mark on the base line of the letters is a full stop, which a typewriter sets in the middle of a letter's width. */
const STOP_GAP = 0.65
const STOP_OFF_LINE = 0.12

/** Pieces of the page's own text. */
export function piecesOfRuns(runs: readonly TextRun[]): TextPiece[] {
  return runs.map(({ text, box }) => ({ box, marks: text.replace(/\s/g, '').length, text }))
}

/** Pieces of print by their marks: rules are taken out first, then marks of the size of letters are strung into lines. */
export function piecesOfInk(ink: Ink, rules: PageRules): TextPiece[] {
  const tallMax = Math.max(24, TALL_SHARE * Math.max(ink.width, ink.height))
  const { list } = blobsOf(withoutRules(ink, rules))
  const marks = list
    .filter(({ box: [left, top, right, bottom], area }) => {
      const [wide, tall] = [right - left, bottom - top]
      return tall <= tallMax && wide <= 3 * tallMax && area >= 3 && (tall >= TALL_MIN || wide >= 2)
    })
    .map(({ box }) => box)
    .sort((a, b) => a[0] - b[0])
  return strung(marks).filter(({ box }) => box[3] - box[1] >= TALL_MIN)
}

/** Only rules of so many times the shortest: a shorter one may be the stem of a capital. */
const WIPED = 3
/** Share of a rule that may have print close beside it. */
const BESIDE_MOST = 0.3
/** From this thickness on a rule has ink along nearly all of it; small letters of one height have white between them. */
const THICK = 4
const ALONG_LEAST = 0.92

function withoutRules(ink: Ink, rules: PageRules): Ink {
  const { width, height } = ink
  const data = ink.data.slice()
  const wipe = (left: number, top: number, right: number, bottom: number) => {
    for (let y = Math.max(0, top); y < Math.min(height, bottom); y++)
      data.fill(0, y * width + Math.max(0, left), y * width + Math.min(width, right))
  }
  const long = (rule: Rule) => rule.to - rule.from >= WIPED * rules.shortest
  const across = rules.across.filter(
    (rule) => long(rule) && isSolid(ink, rule, 1, width) && standsFree(ink, rule, 1, width),
  )
  const down = rules.down.filter(
    (rule) => long(rule) && isSolid(ink, rule, width, 1) && standsFree(ink, rule, width, 1),
  )
  const half = (rule: Rule) => Math.ceil(rule.thick / 2) + 1
  for (const rule of across)
    wipe(rule.from, Math.round(rule.at - half(rule)), rule.to + 1, Math.round(rule.at + half(rule)) + 1)
  for (const rule of down)
    wipe(Math.round(rule.at - half(rule)), rule.from, Math.round(rule.at + half(rule)) + 1, rule.to + 1)
  return { width, height, data }
}

/**
 * A rule has paper along both its sides. Letters that run together on a blurred copy look like one too, but have ink of their own
 * above or below most of it. `along` and `over` are the steps from pixel to pixel along the rule and across it.
 */
function standsFree({ data }: Ink, rule: Rule, along: number, over: number): boolean {
  const middle = Math.round(rule.at)
  const half = Math.ceil(rule.thick / 2) + 1
  const inked = (by: number): number => {
    let count = 0
    for (let at = rule.from; at <= rule.to; at++) if (data[at * along + (middle + by) * over] === 1) count += 1
    return count / (rule.to - rule.from + 1)
  }
  return [1, -1].every((side) => [0, 1, 2].every((by) => inked(side * (half + by)) <= BESIDE_MOST))
}

function isSolid({ data }: Ink, { at, from, to, thick }: Rule, along: number, over: number): boolean {
  if (thick < THICK) return true
  const half = Math.ceil(thick / 2)
  let inked = 0
  for (let place = from; place <= to; place++)
    for (let by = -half; by <= half; by++)
      if (data[place * along + (Math.round(at) + by) * over] === 1) {
        inked += 1
        break
      }
  return inked >= ALONG_LEAST * (to - from + 1)
}

interface Chain {
  box: PageBox
  marks: number
  /** Height of the tallest mark. */
  tall: number
}

/** Marks from left to right, each strung to the line it stands on. */
function strung(marks: readonly PageBox[]): TextPiece[] {
  const open: Chain[] = []
  const done: Chain[] = []
  for (const mark of marks) {
    for (let at = open.length - 1; at >= 0; at--)
      if (mark[0] - open[at]!.box[2] > 2 * WORD_GAP * open[at]!.tall) done.push(...open.splice(at, 1))
    const tall = mark[3] - mark[1]
    const isDust = Math.max(tall, mark[2] - mark[0]) <= DUST
    const line = open.find((chain) => {
      const [, top, right, bottom] = chain.box
      const shared = Math.min(bottom, mark[3]) - Math.max(top, mark[1])
      const big = Math.max(chain.tall, tall)
      // A full stop or hyphen is small and low: it only has to lie within the line.
      const fits =
        tall < chain.tall / TALL_RATIO
          ? mark[1] >= top - 2 && mark[3] <= bottom + 0.3 * chain.tall
          : shared >= 0.5 * Math.min(bottom - top, tall) && tall <= 1.9 * chain.tall
      const onLine = Math.abs(mark[3] - bottom) <= Math.max(1, STOP_OFF_LINE * chain.tall)
      return fits && mark[0] - right <= (isDust ? (onLine ? STOP_GAP : DUST_GAP) : WORD_GAP) * big
    })
    if (line === undefined && tall < TALL_MIN) continue
    if (line === undefined) open.push({ box: [...mark], marks: 1, tall })
    else {
      line.box = [
        line.box[0],
        Math.min(line.box[1], mark[1]),
        Math.max(line.box[2], mark[2]),
        Math.max(line.box[3], mark[3]),
      ]
      line.marks += mark[0] < line.box[2] - 0.5 * tall && tall < line.tall / 2 ? 0 : 1
      line.tall = Math.max(line.tall, tall)
    }
  }
  return [...done, ...open].map(({ box, marks: count }) => ({ box, marks: count, text: null }))
}
