import { type DraftLine, type StripAct, type StripDraft, stripTurn } from './strip-draft.ts'

export interface StripHistory {
  present: StripDraft
  past: StripDraft[]
  future: StripDraft[]
  /** Why the last act was not done. */
  refused: string | null
  /** What a run of typing is about: one undo takes it back. */
  about: string | null
}

const PAST_MAX = 200

export function stripHistory(draft: StripDraft): StripHistory {
  return { present: draft, past: [], future: [], refused: null, about: null }
}

/** One act. A refused one leaves everything as it was and says why; taking a part in hand is no step to undo. */
export function stripDone(history: StripHistory, act: StripAct, lines: readonly DraftLine[]): StripHistory {
  const turned = stripTurn(history.present, act, lines)
  if ('refused' in turned) return { ...history, refused: turned.refused, about: null }
  const { draft } = turned
  if (draft.steps === history.present.steps) return { ...history, present: draft, refused: null, about: null }
  const about = act.do === 'note' || act.do === 'minutes' ? `${act.do} ${act.item}` : null
  const goesOn = about !== null && about === history.about
  return {
    present: draft,
    past: goesOn ? history.past : [...history.past, history.present].slice(-PAST_MAX),
    future: [],
    refused: null,
    about,
  }
}

export function stripUndo(history: StripHistory): StripHistory {
  const before = history.past.at(-1)
  if (!before) return history
  return {
    present: before,
    past: history.past.slice(0, -1),
    future: [history.present, ...history.future],
    refused: null,
    about: null,
  }
}

export function stripRedo(history: StripHistory): StripHistory {
  const [after, ...future] = history.future
  if (!after) return history
  return { present: after, past: [...history.past, history.present], future, refused: null, about: null }
}
