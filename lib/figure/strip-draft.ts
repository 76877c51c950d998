import { itemKey, type StripEdge, type StripLine, stripSorted } from './strip-order.ts'

/** A part in the order being written: what comes off directly before it, and what is to be known at that step. */
export interface DraftStep {
  item: string
  after: string[]
  /** As typed: "slacken the adjuster". */
  note: string
  /** As typed, minutes off and on again; empty when nobody says. */
  minutes: string
}

/** A strip order as a person writes it: the steps in the order they come off. */
export interface StripDraft {
  steps: DraftStep[]
  /** The step that the next part comes off after; null: it comes off by itself. */
  head: string | null
}

/** What the editor knows of a parts list line; `name` is for the words. */
export interface DraftLine extends StripLine {
  name: string
}

export type StripAct =
  /** A part that is not in the order comes off after the one in hand; one that is in it is taken in hand. */
  | { do: 'tap'; item: string }
  | { do: 'by-itself' }
  | { do: 'remove'; item: string }
  | { do: 'earlier'; item: string }
  | { do: 'later'; item: string }
  | { do: 'after'; item: string; first: string }
  | { do: 'not-after'; item: string; first: string }
  | { do: 'note'; item: string; note: string }
  | { do: 'minutes'; item: string; minutes: string }
  /** A whole other order: the proposal, what somebody else saved, nothing. */
  | { do: 'put'; draft: StripDraft }

/** Either the draft as it is then, or why it cannot be; nothing of what was there is lost. */
export type StripTurn = { draft: StripDraft } | { refused: string }

/** What is kept of a strip order. */
export interface StripKept {
  edges: readonly StripEdge[]
  /** In the order they come off; items that the order says nothing of may be left out. */
  steps: readonly { item: string; note?: string | undefined; minutes?: number | undefined }[]
}

export const STRIP_STEPS_MAX = 1000
export const NOTE_LETTERS_MAX = 200
export const STEP_MINUTES_MAX = 6000

export const EMPTY_DRAFT: StripDraft = { steps: [], head: null }

/** The kept order as a draft: every item that a step, a note or an attaching part names. */
export function draftOf(kept: StripKept, lines: readonly DraftLine[]): StripDraft {
  const known = new Map(lines.map((line) => [itemKey(line.item), line.item]))
  const spelled = (item: string) => known.get(itemKey(item))
  const edges = kept.edges.flatMap(({ first, then }) => {
    const [a, b] = [spelled(first), spelled(then)]
    return a === undefined || b === undefined ? [] : [{ first: a, then: b }]
  })
  const named = new Set<string>()
  for (const { item } of kept.steps) if (spelled(item) !== undefined) named.add(spelled(item)!)
  for (const line of lines)
    if (edges.some(({ first, then }) => first === line.item || then === line.item)) named.add(line.item)
  const noteOf = new Map(kept.steps.map((step) => [itemKey(step.item), step]))
  const steps = [...named].map((item): DraftStep => {
    const { note = '', minutes } = noteOf.get(itemKey(item)) ?? {}
    const after = [...new Set(edges.filter(({ then }) => then === item).map(({ first }) => first))]
    return { item, after, note, minutes: minutes === undefined ? '' : String(minutes) }
  })
  const turned = settled({ steps, head: null }, lines)
  // What is kept was checked when it was; a list changed since by hand may still tie a knot: then it is shown as it stands.
  return 'draft' in turned ? turned.draft : { steps, head: null }
}

export function draftEdges(draft: StripDraft): StripEdge[] {
  return draft.steps.flatMap(({ item, after }) => after.map((first) => ({ first, then: item })))
}

/** Whether two drafts would be kept alike. */
export function draftsAlike(a: StripDraft, b: StripDraft): boolean {
  const asKept = (draft: StripDraft) =>
    JSON.stringify(draft.steps.map(({ item, after, note, minutes }) => [item, after.toSorted(), note.trim(), minutes]))
  return asKept(a) === asKept(b)
}

/** What holds a part, as the parts list says. */
export function holdersOf(item: string, lines: readonly DraftLine[]): string[] {
  const key = itemKey(item)
  const found = lines.filter((line) => line.attaches !== undefined && itemKey(line.attaches) === key)
  return [...new Set(found.map((line) => line.item))].filter((one) => itemKey(one) !== key)
}

/** One act of the person. Steps are put in an order that can be worked through; a loop is refused and named. */
export function stripTurn(draft: StripDraft, act: StripAct, lines: readonly DraftLine[]): StripTurn {
  const step = 'item' in act ? draft.steps.find((one) => one.item === act.item) : undefined
  switch (act.do) {
    case 'tap':
      return step ? { draft: { ...draft, head: act.item } } : tapped(draft, act.item, lines)
    case 'by-itself':
      return { draft: { ...draft, head: null } }
    case 'put':
      return settled(known(act.draft, lines), lines)
    case 'remove':
      return step ? { draft: without(draft, step) } : { draft }
    case 'earlier':
    case 'later':
      return moved(draft, act.item, act.do, lines)
    case 'after':
      if (!step || step.after.includes(act.first) || !draft.steps.some((one) => one.item === act.first))
        return { draft }
      return settled(changed(draft, act.item, { after: [...step.after, act.first] }), lines)
    case 'not-after':
      if (!step) return { draft }
      return settled(changed(draft, act.item, { after: step.after.filter((one) => one !== act.first) }), lines)
    case 'note':
      return { draft: changed(draft, act.item, { note: act.note.slice(0, NOTE_LETTERS_MAX) }) }
    case 'minutes':
      return {
        draft: changed(draft, act.item, { minutes: act.minutes.replace(/\D/g, '').replace(/^0+/, '').slice(0, 4) }),
      }
  }
}

/** What was kept on a device or in an older order may name parts that the list does not have any more. */
function known(draft: StripDraft, lines: readonly DraftLine[]): StripDraft {
  const listed = new Set(lines.map((line) => line.item))
  const steps = draft.steps.filter(({ item }) => listed.has(item))
  const there = new Set(steps.map(({ item }) => item))
  return {
    steps: steps.map((step) => ({ ...step, after: step.after.filter((one) => there.has(one)) })),
    head: draft.head !== null && there.has(draft.head) ? draft.head : null,
  }
}

function changed(draft: StripDraft, item: string, values: Partial<DraftStep>): StripDraft {
  return { ...draft, steps: draft.steps.map((step) => (step.item === item ? { ...step, ...values } : step)) }
}

/** The part with what holds it before it: split pin, then nut, then hub. */
function tapped(draft: StripDraft, item: string, lines: readonly DraftLine[]): StripTurn {
  const there = new Set(draft.steps.map((step) => step.item))
  const chain: string[] = []
  const seen = new Set<string>()
  const visit = (one: string) => {
    if (seen.has(one) || there.has(one)) return
    seen.add(one)
    for (const holder of holdersOf(one, lines)) visit(holder)
    chain.push(one)
  }
  visit(item)
  const after = (one: string) => {
    const holders = holdersOf(one, lines).filter((holder) => seen.has(holder) || there.has(holder))
    // Only the outermost comes off after the part in hand; what is held comes after its holders.
    const fresh = holders.filter((holder) => seen.has(holder))
    return fresh.length > 0 ? holders : [...new Set([...(draft.head === null ? [] : [draft.head]), ...holders])]
  }
  const added = chain.map((one): DraftStep => ({ item: one, after: after(one), note: '', minutes: '' }))
  const turned = settled({ steps: [...draft.steps, ...added], head: item }, lines)
  return turned
}

/** What came off before the part then comes off before what came after it: the chain stays whole. */
function without(draft: StripDraft, gone: DraftStep): StripDraft {
  const steps = draft.steps
    .filter((step) => step.item !== gone.item)
    .map((step) =>
      step.after.includes(gone.item)
        ? { ...step, after: [...new Set([...step.after.filter((one) => one !== gone.item), ...gone.after])] }
        : step,
    )
  return { steps, head: draft.head === gone.item ? (gone.after.at(-1) ?? null) : draft.head }
}

/** Two parts that follow each other change places; where one hung on the other, they change places in the chain. */
function moved(draft: StripDraft, item: string, way: 'earlier' | 'later', lines: readonly DraftLine[]): StripTurn {
  const at = draft.steps.findIndex((step) => step.item === item)
  const [upper, lower] = way === 'earlier' ? [at - 1, at] : [at, at + 1]
  const [first, second] = [draft.steps[upper], draft.steps[lower]]
  if (!first || !second) return { draft }
  if (holdersOf(second.item, lines).includes(first.item))
    return { refused: `${first.item} holds ${second.item}, so it comes off first.` }
  const steps = [...draft.steps]
  if (second.after.includes(first.item)) {
    const swap = (one: string) => (one === first.item ? second.item : one === second.item ? first.item : one)
    const inChain = steps.map((step) => {
      if (step === first) return { ...first, after: second.after.map(swap) }
      if (step === second) return { ...second, after: first.after }
      return { ...step, after: step.after.map(swap) }
    })
    steps.splice(0, steps.length, ...inChain)
  }
  steps.splice(upper, 2, steps[lower]!, steps[upper]!)
  return settled({ ...draft, steps }, lines)
}

/** The steps in an order that can be worked through, or the loop by name: "12 Hub before 14 Drum before 12 Hub". */
function settled(draft: StripDraft, lines: readonly DraftLine[]): StripTurn {
  const there = new Set(draft.steps.map((step) => step.item))
  const heldBy = (item: string) => lines.filter((line) => line.item === item && line.attaches !== undefined)
  const held: StripEdge[] = draft.steps.flatMap(({ item }) =>
    heldBy(item).flatMap(({ attaches }) => {
      const then = draft.steps.find((step) => itemKey(step.item) === itemKey(attaches!))
      return then && there.has(then.item) ? [{ first: item, then: then.item }] : []
    }),
  )
  const sorted = stripSorted(
    [...draftEdges(draft), ...held],
    draft.steps.map(({ item }) => ({ item })),
  )
  if (sorted.loop !== null) {
    // The noun is enough to know it by: "13 Wheel stud, M18 x 1.5" makes a long loop longer.
    const name = (item: string) =>
      `${item} ${lines.find((line) => line.item === item)?.name.split(',')[0] ?? ''}`.trim()
    return { refused: `That runs in a circle: ${sorted.loop.map(name).join(' before ')}.` }
  }
  const stepOf = new Map(draft.steps.map((step) => [step.item, step]))
  return { draft: { ...draft, steps: sorted.order.map((item) => stepOf.get(item)!) } }
}

/**
 * Two orders in one: the steps of both, notes and minutes of `mine` where both have some. Refused, loop named, where they
 * contradict each other.
 */
export function draftsTogether(mine: StripDraft, theirs: StripDraft, lines: readonly DraftLine[]): StripTurn {
  const theirOf = new Map(theirs.steps.map((step) => [step.item, step]))
  const both = mine.steps.map((step): DraftStep => {
    const other = theirOf.get(step.item)
    if (!other) return step
    const joined = step.note.includes(other.note) ? step.note : `${step.note}; ${other.note}`
    return {
      item: step.item,
      after: [...new Set([...step.after, ...other.after])],
      note: (step.note === '' ? other.note : joined).slice(0, NOTE_LETTERS_MAX),
      minutes: step.minutes === '' ? other.minutes : step.minutes,
    }
  })
  const mineHas = new Set(mine.steps.map((step) => step.item))
  return settled({ steps: [...both, ...theirs.steps.filter(({ item }) => !mineHas.has(item))], head: mine.head }, lines)
}
