import { z } from 'zod'
import { partClassSaid } from '../catalogue/class-words.ts'
import { PART_CLASSES, type PartClass } from '../catalogue/part-class.ts'
import { STOCK_UNITS, type StockUnit } from '../measure/quantity.ts'
import { Doubt, PageBox } from './reader/schema.ts'

/**
 * A page on the desk while a person puts right what was read: numbers with their leader ends, and the rows beside them. Fields
 * of a row are kept as typed; they become numbers when the page is published. Ids belong to the thing, not to what is printed:
 * a number that is corrected stays the same number.
 */
const Id = z.string().regex(/^[a-z]\d{1,9}$/)
const Pixels = z.number().min(-100_000).max(200_000)
const Text = z.string().max(400)

export const DeskTip = z.strictObject({ id: Id, x: Pixels, y: Pixels })
export const DeskCallout = z.strictObject({
  id: Id,
  item: z.string().max(20),
  x: Pixels,
  y: Pixels,
  tips: z.array(DeskTip).max(40),
  /** What the reader was unsure of, less what a person has looked at. */
  doubts: z.array(Doubt),
  /** Doubts that a person has looked at and let stand. */
  seen: z.array(Doubt).default([]),
})
export const DeskRow = z.strictObject({
  id: Id,
  item: z.string().max(20),
  partNumber: Text,
  description: Text,
  quantity: z.string().max(20),
  /** What the book prints instead of a number: AR, REF. */
  quantityNote: z.string().max(20),
  /** Of what the part is kept by; a page rarely says. */
  unit: z.enum(STOCK_UNITS),
  /** What kind of part it is: companion rules go by it. */
  partClass: z.enum(PART_CLASSES).default('other'),
  /** Who says so: the words of the description, the catalogue, or a person; nobody is sure where it is `words` and `other`. */
  classBy: z.enum(['words', 'catalogue', 'person']).default('words'),
  doubts: z.array(Doubt),
  seen: z.array(Doubt).default([]),
  /** Where the row stands on the page, to look it up. */
  box: PageBox.nullable(),
})
export const DeskHead = z.strictObject({
  modelId: z.number().int().positive().nullable(),
  maker: z.string().max(80),
  model: z.string().max(80),
  kind: z.string().max(60),
  number: z.string().max(20),
  title: z.string().max(120),
  /** One place a line: the code, then its words. */
  positions: z.string().max(2000),
  /** Number and title were read off the page, and nobody has looked at them yet. */
  unsure: z.array(z.enum(['number', 'title'])).default([]),
})
export const DeskDraft = z.strictObject({
  width: z.number().positive(),
  height: z.number().positive(),
  callouts: z.array(DeskCallout).max(2000),
  rows: z.array(DeskRow).max(5000),
  head: DeskHead,
  /** Part of the page that becomes the figure; null for all of it. */
  keep: PageBox.nullable(),
  /** Drawings that were found on the page, to choose from. */
  drawings: z.array(PageBox).max(40),
})
export type DeskTip = z.infer<typeof DeskTip>
export type DeskCallout = z.infer<typeof DeskCallout>
export type DeskRow = z.infer<typeof DeskRow>
export type DeskHead = z.infer<typeof DeskHead>
export type DeskDraft = z.infer<typeof DeskDraft>

export type DeskRowField = 'item' | 'partNumber' | 'description' | 'quantity' | 'quantityNote'

export type DeskAct =
  | { do: 'add-callout'; item: string; x: number; y: number }
  | { do: 'move-callout'; id: string; x: number; y: number }
  | { do: 'renumber'; id: string; item: string }
  | { do: 'delete-callout'; id: string }
  | { do: 'add-tip'; id: string; x: number; y: number }
  | { do: 'move-tip'; id: string; tip: string; x: number; y: number }
  | { do: 'delete-tip'; id: string; tip: string }
  | { do: 'add-row'; item: string; after: string | null }
  | { do: 'set-row'; id: string; field: DeskRowField; value: string }
  | { do: 'set-unit'; id: string; unit: StockUnit }
  | { do: 'set-class'; id: string; partClass: PartClass }
  | { do: 'delete-row'; id: string }
  | { do: 'join'; callout: string; row: string }
  | { do: 'seen'; id: string; doubt: Doubt }
  | { do: 'set-head'; head: Partial<DeskHead> }
  | { do: 'head-seen' }
  | { do: 'count-one' }
  | { do: 'keep'; box: PageBox | null }

/** A draft with what came before and what was taken back. `next` only grows, so that an id never names two things. */
export interface DeskHistory {
  present: DeskDraft
  past: readonly DeskDraft[]
  future: readonly DeskDraft[]
  next: number
  /** What the last step was about: nudging or typing on makes one step, not a hundred. */
  about: string | null
}

export const DESK_STEPS_MAX = 500

export function deskHistory(draft: DeskDraft): DeskHistory {
  const ids = [
    ...draft.callouts.flatMap((callout) => [callout.id, ...callout.tips.map((tip) => tip.id)]),
    ...draft.rows.map((row) => row.id),
  ]
  const next = ids.reduce((most, id) => Math.max(most, Number(id.slice(1)) + 1), 1)
  return { present: draft, past: [], future: [], next, about: null }
}

/** One step of the person. A step that changes nothing (an unknown id, the same value) leaves the history as it is. */
export function deskStep(history: DeskHistory, act: DeskAct): DeskHistory {
  const present = deskAct(history.present, act, history.next)
  if (present === history.present) return history
  const about = aboutOf(act)
  const goesOn = about !== null && about === history.about && history.past.length > 0
  return {
    present,
    past: goesOn ? history.past : [...history.past, history.present].slice(-DESK_STEPS_MAX),
    future: [],
    next: history.next + 1,
    about,
  }
}

/** Ends a run of nudges or typing: the next one can be taken back by itself. */
export function deskPause(history: DeskHistory): DeskHistory {
  return history.about === null ? history : { ...history, about: null }
}

export function deskUndo(history: DeskHistory): DeskHistory {
  const before = history.past.at(-1)
  if (!before) return history
  return {
    ...history,
    present: before,
    past: history.past.slice(0, -1),
    future: [history.present, ...history.future],
    about: null,
  }
}

export function deskRedo(history: DeskHistory): DeskHistory {
  const [after, ...future] = history.future
  if (!after) return history
  return { ...history, present: after, past: [...history.past, history.present], future, about: null }
}

function aboutOf(act: DeskAct): string | null {
  if (act.do === 'move-callout') return `move ${act.id}`
  if (act.do === 'move-tip') return `move ${act.id} ${act.tip}`
  if (act.do === 'set-row') return `row ${act.id} ${act.field}`
  if (act.do === 'renumber') return `renumber ${act.id}`
  if (act.do === 'set-head') return `head ${Object.keys(act.head).join(' ')}`
  return null
}

function deskAct(draft: DeskDraft, act: DeskAct, next: number): DeskDraft {
  switch (act.do) {
    case 'add-callout': {
      const callout = { id: `c${next}`, item: act.item, ...onPage(draft, act), tips: [], doubts: [], seen: [] }
      return { ...draft, callouts: [...draft.callouts, callout] }
    }
    case 'move-callout':
      return callouts(draft, act.id, (callout) => moved(callout, onPage(draft, act)))
    case 'renumber':
      return callouts(draft, act.id, (callout) =>
        callout.item === act.item
          ? callout
          : { ...callout, item: act.item, doubts: less(callout.doubts, 'hard-to-read') },
      )
    case 'delete-callout':
      return draft.callouts.some((one) => one.id === act.id)
        ? { ...draft, callouts: draft.callouts.filter((one) => one.id !== act.id) }
        : draft
    case 'add-tip':
      return callouts(draft, act.id, (callout) =>
        callout.tips.length >= 40
          ? callout
          : {
              ...callout,
              tips: [...callout.tips, { id: `t${next}`, ...onPage(draft, act) }],
              doubts: less(callout.doubts, 'no-leader'),
            },
      )
    case 'move-tip':
      return callouts(draft, act.id, (callout) => {
        const tips = changed(callout.tips, act.tip, (tip) => moved(tip, onPage(draft, act)))
        return tips === callout.tips ? callout : { ...callout, tips }
      })
    case 'delete-tip':
      return callouts(draft, act.id, (callout) =>
        callout.tips.some((tip) => tip.id === act.tip)
          ? { ...callout, tips: callout.tips.filter((tip) => tip.id !== act.tip) }
          : callout,
      )
    case 'add-row': {
      const row: DeskRow = { ...EMPTY_ROW, id: `r${next}`, item: act.item }
      const at = draft.rows.findIndex((one) => one.id === act.after)
      return { ...draft, rows: draft.rows.toSpliced(at < 0 ? draft.rows.length : at + 1, 0, row) }
    }
    case 'set-row':
      return rows(draft, act.id, (row) =>
        row[act.field] === act.value
          ? row
          : classed({ ...row, [act.field]: act.value, doubts: touched(row.doubts) }, act.field),
      )
    case 'set-unit':
      return rows(draft, act.id, (row) => (row.unit === act.unit ? row : { ...row, unit: act.unit }))
    case 'set-class':
      return rows(draft, act.id, (row) =>
        row.partClass === act.partClass && row.classBy === 'person'
          ? row
          : { ...row, partClass: act.partClass, classBy: 'person' },
      )
    case 'delete-row':
      return draft.rows.some((one) => one.id === act.id)
        ? { ...draft, rows: draft.rows.filter((one) => one.id !== act.id) }
        : draft
    case 'join':
      return joined(draft, act.callout, act.row)
    case 'seen':
      return act.id.startsWith('r')
        ? rows(draft, act.id, (row) => looked(row, act.doubt))
        : callouts(draft, act.id, (callout) => looked(callout, act.doubt))
    case 'set-head': {
      const same = Object.entries(act.head).every(([field, value]) => draft.head[field as keyof DeskHead] === value)
      if (same) return draft
      const unsure = draft.head.unsure.filter((field) => act.head[field] === undefined)
      return { ...draft, head: { ...draft.head, ...act.head, unsure } }
    }
    case 'head-seen':
      return draft.head.unsure.length === 0 ? draft : { ...draft, head: { ...draft.head, unsure: [] } }
    case 'count-one': {
      // The words say that the one is ours, as a figure file has it where the book prints none.
      const blank = (row: DeskRow) => row.quantity.trim() === '' && row.quantityNote.trim() === ''
      if (!draft.rows.some(blank)) return draft
      const counted = (row: DeskRow) =>
        blank(row)
          ? { ...row, quantity: '1', quantityNote: 'not printed', doubts: less(row.doubts, 'cell-unclear') }
          : row
      return { ...draft, rows: draft.rows.map(counted) }
    }
    case 'keep':
      return String(draft.keep) === String(act.box) ? draft : { ...draft, keep: act.box }
  }
}

const EMPTY_ROW: Omit<DeskRow, 'id'> = {
  item: '',
  partNumber: '',
  description: '',
  quantity: '1',
  quantityNote: '',
  unit: 'each',
  partClass: 'other',
  classBy: 'words',
  doubts: [],
  seen: [],
  box: null,
}

/**
 * The class follows the words until a person has chosen one; another part number is another part, of which the catalogue has
 * said nothing.
 */
function classed(row: DeskRow, field: DeskRowField): DeskRow {
  if (row.classBy === 'person' || (field !== 'description' && field !== 'partNumber')) return row
  if (field === 'description' && row.classBy === 'catalogue') return row
  return { ...row, classBy: 'words', partClass: partClassSaid(row.description) ?? 'other' }
}

/** The row gets the callout's number when it has none of its own; else the callout takes the row's. */
function joined(draft: DeskDraft, calloutId: string, rowId: string): DeskDraft {
  const callout = draft.callouts.find((one) => one.id === calloutId)
  const row = draft.rows.find((one) => one.id === rowId)
  if (!callout || !row || callout.item === row.item) return draft
  if (row.item.trim() === '')
    return rows(draft, rowId, (one) => ({ ...one, item: callout.item, doubts: touched(one.doubts) }))
  return callouts(draft, calloutId, (one) => ({ ...one, item: row.item, doubts: less(one.doubts, 'hard-to-read') }))
}

function callouts(draft: DeskDraft, id: string, change: (callout: DeskCallout) => DeskCallout): DeskDraft {
  const after = changed(draft.callouts, id, change)
  return after === draft.callouts ? draft : { ...draft, callouts: after }
}

function rows(draft: DeskDraft, id: string, change: (row: DeskRow) => DeskRow): DeskDraft {
  const after = changed(draft.rows, id, change)
  return after === draft.rows ? draft : { ...draft, rows: after }
}

/** The list with one of it changed; the same list when nothing changed. */
function changed<T extends { id: string }>(list: T[], id: string, change: (one: T) => T): T[] {
  const at = list.findIndex((one) => one.id === id)
  const before = list[at]
  if (!before) return list
  const after = change(before)
  return after === before ? list : list.with(at, after)
}

/** Nothing lies outside the page; half a pixel is more than a hand can aim. */
function onPage(page: { width: number; height: number }, at: { x: number; y: number }): { x: number; y: number } {
  const clamp = (value: number, most: number) => Math.round(Math.max(0, Math.min(most, value)) * 2) / 2
  return { x: clamp(at.x, Math.floor(page.width)), y: clamp(at.y, Math.floor(page.height)) }
}

function moved<T extends { x: number; y: number }>(one: T, to: { x: number; y: number }): T {
  return one.x === to.x && one.y === to.y ? one : { ...one, ...to }
}

function less(doubts: readonly Doubt[], gone: Doubt): Doubt[] {
  return doubts.filter((doubt) => doubt !== gone)
}

/** A person who types into a row has looked at it. */
function touched(doubts: readonly Doubt[]): Doubt[] {
  return less(less(doubts, 'cell-unclear'), 'hard-to-read')
}

function looked<T extends { doubts: Doubt[]; seen: Doubt[] }>(one: T, doubt: Doubt): T {
  if (one.seen.includes(doubt)) return one
  return { ...one, doubts: less(one.doubts, doubt), seen: [...one.seen, doubt] }
}
