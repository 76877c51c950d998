import { counted } from '../measure/counted.ts'
import { isRefusal } from '../refusal.ts'
import type { DeskDraft, DeskRow } from './desk.ts'
import { figureFileCheck } from './figure-file.ts'
import type { Doubt, PageBox } from './reader/schema.ts'
import type { FigureFile, FigureFileInput, FigurePosition } from './schema.ts'
import { itemCompare, itemKey } from './strip-order.ts'

/** Something a person should look at before the page is believed. */
export interface DeskLook {
  /** Of the callout or the row. */
  id: string
  item: string
  kind: 'callout' | 'row'
  doubt: Doubt
  /** The reason, in words of the workshop. */
  words: string
}

const WORDS: Record<Doubt, string> = {
  'hard-to-read': 'hard to read: compare with the print',
  'no-row': 'no row of the list has this number',
  'no-callout': 'no number on the drawing leads to this row',
  'more-than-once': 'stands on the drawing more than once',
  'no-leader': 'no leader line was found: set its end on the part',
  'cell-unclear': 'a cell could not be read for certain',
}

/** Numbers and rows check each other anew after every step; what a person has looked at and let stand is not asked again. */
export function deskLooks(draft: DeskDraft): DeskLook[] {
  const rows = new Set(draft.rows.map((row) => itemKey(row.item)))
  const times = new Map<string, number>()
  for (const { item } of draft.callouts) times.set(itemKey(item), (times.get(itemKey(item)) ?? 0) + 1)
  const looks: DeskLook[] = []
  const look = (kind: DeskLook['kind'], one: { id: string; item: string; seen: Doubt[] }, doubt: Doubt) => {
    if (!one.seen.includes(doubt)) looks.push({ id: one.id, item: one.item, kind, doubt, words: WORDS[doubt] })
  }
  for (const callout of draft.callouts) {
    const key = itemKey(callout.item)
    if (callout.doubts.includes('hard-to-read') || key === '') look('callout', callout, 'hard-to-read')
    if (key !== '' && !rows.has(key)) look('callout', callout, 'no-row')
    if (callout.tips.length === 0) look('callout', callout, 'no-leader')
    // Two of one number are often right (a washer on each side), so this stands last.
    else if ((times.get(key) ?? 0) > 1 && key !== '') look('callout', callout, 'more-than-once')
  }
  for (const row of draft.rows) {
    if (deskRowEmpty(row)) continue
    if (row.doubts.includes('hard-to-read')) look('row', row, 'hard-to-read')
    if (row.doubts.includes('cell-unclear') || row.description.trim() === '') look('row', row, 'cell-unclear')
    if (!times.has(itemKey(row.item))) look('row', row, 'no-callout')
  }
  const rank = (one: DeskLook) => RANK.indexOf(one.doubt)
  return looks.sort((a, b) => rank(a) - rank(b) || itemCompare(a.item, b.item) || (a.id < b.id ? -1 : 1))
}

const RANK: readonly Doubt[] = ['hard-to-read', 'no-row', 'cell-unclear', 'no-leader', 'no-callout', 'more-than-once']

export function deskRowEmpty(row: DeskRow): boolean {
  return [row.item, row.partNumber, row.description].every((text) => text.trim() === '')
}

/** Places as they are typed, one a line: "LH left wheel". Left and right, front and rear wear as a pair. */
export function deskPositions(text: string): FigurePosition[] {
  const lines = text
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '')
  const codes = lines.map((line) => line.split(/\s+/)[0] ?? '')
  const pair: Record<string, string> = { LH: 'RH', RH: 'LH', FRONT: 'REAR', REAR: 'FRONT' }
  return lines.map((line, at) => {
    const code = codes[at] ?? ''
    const other = pair[code.toUpperCase()]
    const pairedWith = codes.length === 2 ? codes.find((one) => one.toUpperCase() === other) : undefined
    const label = line.slice(code.length).replace(/^[\s,:=-]+/, '')
    return { code, label: label === '' ? code : label, ...(pairedWith === undefined ? {} : { pairedWith }) }
  })
}

export function deskPositionsText(positions: readonly FigurePosition[]): string {
  return positions.map(({ code, label }) => (label === code ? code : `${code} ${label}`)).join('\n')
}

export interface DeskFault {
  /** Id of the row or callout it is about; null for the figure as a whole. */
  id: string | null
  words: string
  /** What nobody has filled in yet, as it is called on the screen; null when what stands there is at fault. */
  blank: string | null
}

export interface DeskChecked {
  /** Null while something stands in the way. */
  file: FigureFile | null
  faults: DeskFault[]
  warnings: string[]
}

/** The page as a figure file: what lies outside of what is kept is left out, and coordinates begin at its corner. */
export function deskFigureFile(draft: DeskDraft): { file: FigureFileInput; rowIds: string[]; calloutIds: string[] } {
  const [left, top, right, bottom] = deskKeep(draft)
  const { head } = draft
  const inside = ({ x, y }: { x: number; y: number }) => x >= left && x <= right && y >= top && y <= bottom
  const kept = draft.callouts.filter(inside)
  const rows = draft.rows.filter((row) => !deskRowEmpty(row))
  const file: FigureFileInput = {
    format: 'cotterbook-figure',
    version: 1,
    title: head.title,
    number: head.number,
    model: { maker: head.maker, name: head.model, ...(head.kind.trim() === '' ? {} : { kind: head.kind }) },
    picture: { file: 'page.png', width: right - left, height: bottom - top },
    positions: deskPositions(head.positions),
    callouts: kept.map(({ item, x, y, tips }) => ({
      item,
      x: x - left,
      y: y - top,
      tips: tips.map((tip) => ({
        x: Math.max(0, Math.min(right - left, tip.x - left)),
        y: Math.max(0, Math.min(bottom - top, tip.y - top)),
      })),
    })),
    lines: rows.map(lineOf),
  }
  return { file, rowIds: rows.map((row) => row.id), calloutIds: kept.map((callout) => callout.id) }
}

/** Whole pixels, because a picture is cut between them. */
export function deskKeep(draft: DeskDraft): PageBox {
  const [width, height] = [Math.round(draft.width), Math.round(draft.height)]
  if (draft.keep === null) return [0, 0, width, height]
  const [left, top, right, bottom] = draft.keep
  const at = (value: number, most: number) => Math.max(0, Math.min(most, value))
  return [
    at(Math.floor(left), width - 1),
    at(Math.floor(top), height - 1),
    Math.max(at(Math.ceil(right), width), at(Math.floor(left), width - 1) + 1),
    Math.max(at(Math.ceil(bottom), height), at(Math.floor(top), height - 1) + 1),
  ]
}

/** The kept part of the page grown (or, with a negative share, shrunk) on all sides, by a share of the page's width. */
export function deskKeepGrown(draft: DeskDraft, share: number): PageBox {
  const [left, top, right, bottom] = deskKeep(draft)
  const by = Math.round(draft.width * share)
  const least = Math.round(draft.width * 0.05)
  const [x, y] = [(left + right) / 2, (top + bottom) / 2]
  const grown: PageBox = [
    Math.min(left - by, x - least),
    Math.min(top - by, y - least),
    Math.max(right + by, x + least),
    Math.max(bottom + by, y + least),
  ]
  return deskKeep({ ...draft, keep: grown })
}

function lineOf(row: DeskRow): FigureFileInput['lines'][number] {
  const text = row.quantity.trim().replace(',', '.')
  const note = row.quantityNote.trim()
  // "AR" and "REF" count one, as in a figure file; anything else that is no number is a fault of the row.
  const quantity = text === '' && note !== '' ? 1 : /^\d+(\.\d+)?$/.test(text) ? Number(text) : 0
  return {
    item: row.item,
    ...(row.partNumber.trim() === '' ? {} : { partNumber: row.partNumber }),
    // Where number and name share a column of the list, what is printed serves as both.
    description: row.description.trim() === '' ? row.partNumber : row.description,
    quantity,
    unit: row.unit,
    partClass: row.partClass,
    ...(note === '' ? {} : { quantityNote: note }),
  }
}

/** The check of a figure file, its faults put to the row or number they are about. */
export function deskCheck(draft: DeskDraft): DeskChecked {
  const { file, rowIds, calloutIds } = deskFigureFile(draft)
  const lost = draft.callouts.length - calloutIds.length
  const cut = lost > 0 ? [`${counted(lost, 'number')} outside the part of the page that is kept: left out`] : []
  try {
    const checked = figureFileCheck(file, 'the page')
    return { file: checked.file, faults: [], warnings: [...cut, ...checked.warnings] }
  } catch (error) {
    if (!isRefusal(error)) throw error
    const faults = error.faults.map((words) => {
      const id = faultOf(words, rowIds, calloutIds)
      return { id, words: plain(words), blank: id === null ? blankOf(words, file) : null }
    })
    return { file: null, faults, warnings: cut }
  }
}

function faultOf(words: string, rowIds: readonly string[], calloutIds: readonly string[]): string | null {
  const [, list, row] = /^(line|callout) (\d+)/.exec(words) ?? []
  if (row === undefined) return null
  return (list === 'line' ? rowIds : calloutIds)[Number(row) - 1] ?? null
}

const FIELDS: Record<string, string> = {
  'model.maker': 'maker of the machine',
  'model.name': 'machine model',
  number: 'figure number',
  title: 'title',
  lines: 'parts list',
}

/** A head that was not filled in yet is not a fault of the page: it is what is left to do. */
function blankOf(words: string, file: FigureFileInput): string | null {
  const [, field = ''] = /^([\w.]+):/.exec(words) ?? []
  const isBlank: Record<string, boolean> = {
    'model.maker': file.model.maker.trim() === '',
    'model.name': file.model.name.trim() === '',
    number: file.number.trim() === '',
    title: file.title.trim() === '',
    lines: file.lines.length === 0,
  }
  return isBlank[field] ? (FIELDS[field] ?? null) : null
}

/** "line 3 (item 7), quantity: too small" is the row itself on this screen: "quantity: too small". */
function plain(words: string): string {
  const own = words.replace(/^(line|callout) \d+( \(item [^)]*\))?(, )?/, '').replace(/^: /, '')
  return own.replace(/^([\w.]+):/, (whole, field: string) => (FIELDS[field] ? `${FIELDS[field]}:` : whole))
}
