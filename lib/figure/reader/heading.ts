import type { Ink } from './page-ink.ts'
import type { PageRules } from './page-lines.ts'
import { piecesOfInk, piecesOfRuns, type TextPiece } from './page-pieces.ts'
import type { GreyPage, PageBox, ReadCallout, ReadHeading, Recogniser, TextRun } from './schema.ts'
import { linesRead } from './table-lines.ts'

/** Lines read for the sake of a title, at most: each costs a person time to wait, and the title is quickly typed. */
const LINES_MAX = 6
const MARKS_MIN = 5
/** A line that was read with less certainty is not worth proposing; a person looks at what is proposed in any case. */
const CONFIDENCE_MIN = 0.4

interface Page {
  page: GreyPage
  runs: readonly TextRun[]
  ink: Ink
  rules: PageRules
  /** Boxes of the parts lists: their words are no title. */
  tables: readonly PageBox[]
  /** Title blocks. */
  blocks: readonly PageBox[]
  callouts: readonly ReadCallout[]
}

/**
 * What the page calls its drawing: the line that begins with the word figure, wherever it stands; else the largest words of the
 * title block; else the largest line above the drawing. Only ever a proposal: a heading may be that of the whole book. Null when
 * nothing is read that could be one.
 */
export async function headingRead(on: Page, recognise: Recogniser): Promise<ReadHeading | null> {
  const pieces = on.runs.length > 0 ? piecesOfRuns(on.runs) : piecesOfInk(on.ink, on.rules)
  const lines = joined(pieces).filter(
    ({ box, marks }) => marks >= MARKS_MIN && !on.tables.some((one) => meets(one, box)),
  )
  const drawn = spanOf(on.callouts)
  const inBlock = lines.filter(({ box }) => on.blocks.some((one) => meets(one, box)))
  const outside = lines.filter((line) => !inBlock.includes(line) && (drawn === null || !meets(drawn, line.box)))
  const told = outside.every((line) => line.text !== null)
  const few = (all: readonly TextPiece[]) => (told ? all : [...all].sort(byTall).slice(0, LINES_MAX / 2))
  const read = await textsOf(on.page, [...few(inBlock), ...few(outside)], recognise)
  const named = read.map(({ text }) => figureNamed(text)).find((one) => one !== null && one.title !== '')
  if (named) return named
  const words = (some: readonly TextPiece[]) =>
    read
      .filter((one) => some.includes(one.piece) && isWords(one.text))
      .sort((a, b) => byTall(a.piece, b.piece) || b.text.length - a.text.length)[0]?.text
  const top = drawn === null ? on.page.height / 2 : drawn[1]
  const above = outside.filter(({ box }) => box[3] <= top)
  const title = words(inBlock) ?? words(above)
  return title === undefined ? null : (figureNamed(title) ?? { number: '', title: plain(title) })
}

/** "Fig. 5-04  Hub and drum brake": number and title; null when it does not say that it is a figure. */
export function figureNamed(text: string): ReadHeading | null {
  const [, number = '', title = ''] =
    /^\W*(?:fig|figure|figura|abb)\b[.:\s]*(?:no\b[.:\s]*)?(\d[\d.\-/]*(?:[A-Za-z](?![A-Za-z]))?)[\s.:,–—-]*(.*)$/i.exec(
      text,
    ) ?? []
  if (number === '') return null
  return { number: number.replace(/[.\-/]+$/, ''), title: plain(title) }
}

/** Words that stand on a page without being its title. */
const NO_TITLE =
  /^(?:(?:illustrated |spare )?parts? (?:book|list|catalogue|catalog|manual)|title|drawn|date|scale|sheet|size|general tolerances?.*|drawing no\.?|page|contents|notes?)$/i

function isWords(text: string): boolean {
  const letters = text.replace(/[^\p{L}]/gu, '').length
  return letters >= 4 && letters >= 0.6 * text.replace(/\s/g, '').length && !NO_TITLE.test(text.trim())
}

/** All capitals read badly in a list; a title keeps its own spelling otherwise. */
function plain(text: string): string {
  const trimmed = text.replace(/\s+/g, ' ').trim().slice(0, 120)
  return trimmed === trimmed.toUpperCase() ? trimmed.slice(0, 1) + trimmed.slice(1).toLowerCase() : trimmed
}

function byTall(a: TextPiece, b: TextPiece): number {
  // A descender more or less is no larger type.
  const [tallA, tallB] = [a.box[3] - a.box[1], b.box[3] - b.box[1]]
  return Math.abs(tallA - tallB) <= 0.25 * Math.max(tallA, tallB) ? 0 : tallB - tallA
}

async function textsOf(page: GreyPage, pieces: readonly TextPiece[], recognise: Recogniser) {
  const printed = pieces.filter((piece) => piece.text === null)
  const wanted = printed.map(({ box }) => ({ line: { box, inverse: false }, number: null }))
  const texts = await linesRead(page, wanted, recognise)
  return pieces.flatMap((piece) => {
    if (piece.text !== null) return [{ piece, text: piece.text }]
    const one = texts[printed.indexOf(piece)]
    return one && one.confidence >= CONFIDENCE_MIN ? [{ piece, text: one.text }] : []
  })
}

/** "Fig. 3-02" and "Rotor and knives" are set apart, but are one line. */
function joined(pieces: readonly TextPiece[]): TextPiece[] {
  const lines: TextPiece[] = []
  for (const piece of [...pieces].sort((a, b) => a.box[0] - b.box[0])) {
    const tall = piece.box[3] - piece.box[1]
    const at = lines.findIndex(
      ({ box }) =>
        Math.abs((box[1] + box[3] - piece.box[1] - piece.box[3]) / 2) < 0.35 * tall &&
        piece.box[0] - box[2] < 2.2 * tall &&
        piece.box[0] - box[2] > -0.5 * tall &&
        Math.abs(box[3] - box[1] - tall) < 0.5 * tall,
    )
    const line = lines[at]
    if (!line) lines.push(piece)
    else
      lines[at] = {
        box: [line.box[0], Math.min(line.box[1], piece.box[1]), piece.box[2], Math.max(line.box[3], piece.box[3])],
        marks: line.marks + piece.marks,
        text: line.text === null || piece.text === null ? null : `${line.text} ${piece.text}`,
      }
  }
  return lines
}

function spanOf(callouts: readonly ReadCallout[]): PageBox | null {
  const points = callouts.flatMap((one) => [one, ...one.tips])
  if (points.length === 0) return null
  const xs = points.map((one) => one.x)
  const ys = points.map((one) => one.y)
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]
}

function meets(a: PageBox, b: PageBox): boolean {
  return a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3]
}
