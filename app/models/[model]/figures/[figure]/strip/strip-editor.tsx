'use client'

import { useRouter } from 'next/navigation'
import { type KeyboardEvent, useActionState, useEffect, useMemo, useReducer, useState } from 'react'
import type { ActionState } from '@/app/_server/answer.ts'
import { FormAnswer } from '@/app/_server/form-answer.tsx'
import { KeyField } from '@/app/_server/key-field.tsx'
import type { Callout } from '@/lib/figure/callout.ts'
import {
  type DraftLine,
  draftsAlike,
  draftsTogether,
  type StripAct,
  type StripDraft,
} from '@/lib/figure/strip-draft.ts'
import { type StripHistory, stripDone, stripHistory, stripRedo, stripUndo } from '@/lib/figure/strip-history.ts'
import { counted } from '@/lib/measure/counted.ts'
import { Drawing } from '../drawing.tsx'
import editor from '../editor.module.css'
import figureStyles from '../figure.module.css'
import { EarlierSaved, type SavedBefore, SavedBetween, when } from '../saved-before.tsx'
import { saveStrip } from './actions.ts'
import styles from './strip.module.css'
import { StripSteps } from './strip-steps.tsx'
import { useKeptHere } from './use-kept-here.ts'

export interface Proposed {
  draft: StripDraft
  /** Why of each step, by "first then". */
  why: Record<string, string>
  says: string
}

interface EarlierOrder extends SavedBefore {
  draft: StripDraft
}

export interface EditorProps {
  figureId: number
  edition: number
  version: number
  kept: StripDraft
  lines: DraftLine[]
  proposed: Proposed
  earlier: EarlierOrder[]
  title: string
  picture: { id: string; extension: string; width: number; height: number }
  page: { width: number; height: number }
  callouts: Callout[]
  formKey: string
}

type Turn = StripAct | { do: 'undo' } | { do: 'redo' } | { do: 'say'; words: string }

function ordinal(place: number): string {
  const tens = place % 100
  const end = tens >= 11 && tens <= 13 ? 'th' : (['th', 'st', 'nd', 'rd'][place % 10] ?? 'th')
  return `${place}${end}`
}

/** The order of strip-down, written on the drawing: nothing is in the book before it is saved. */
export function StripEditor(props: EditorProps) {
  const { lines, callouts } = props
  const router = useRouter()
  const turn = (history: StripHistory, act: Turn): StripHistory => {
    if (act.do === 'undo') return stripUndo(history)
    if (act.do === 'redo') return stripRedo(history)
    if (act.do === 'say') return { ...history, refused: act.words }
    return stripDone(history, act, lines)
  }
  const [history, act] = useReducer(turn, props.kept, stripHistory)
  const draft = history.present
  const [state, send, isPending] = useActionState<ActionState<{ figureId: number; version: number }>, FormData>(
    saveStrip,
    null,
  )
  // The version that this order builds on; a newer one in the book is somebody else's until it was looked at.
  const [base, setBase] = useState(props.version)
  const [pointed, setPointed] = useState<string | null>(null)
  const [bring, setBring] = useState(0)
  const [proposes, setProposes] = useState(false)
  const isSaved = draftsAlike(draft, props.kept)
  const { left, forget } = useKeptHere(props.figureId, props.edition, draft, isSaved)

  const answered = state?.ok ? state.answer.version : null
  useEffect(() => {
    if (answered === null) return
    setBase((before) => Math.max(before, answered))
    forget()
  }, [answered, forget])
  const isOvertaken = state?.ok === false && state.code === 'figure/strip-changed'
  useEffect(() => {
    if (isOvertaken) router.refresh()
  }, [isOvertaken, router])

  const nameOf = useMemo(() => {
    const names = new Map(lines.map((line) => [line.item, line.name]))
    return (item: string) => names.get(item) ?? ''
  }, [lines])
  const places = useMemo(
    () => Object.fromEntries(draft.steps.map((step, at) => [step.item, String(at + 1)])),
    [draft.steps],
  )
  const spoken = useMemo(
    () =>
      Object.fromEntries(
        lines.map(({ item, name }) => [
          item,
          `${item}, ${name.toLowerCase()}, ${places[item] ? `comes off ${ordinal(Number(places[item]))}` : 'not in the order'}`,
        ]),
      ),
    [lines, places],
  )
  const glimpses = useMemo(
    () =>
      Object.fromEntries(
        lines.map(({ item, name }) => [
          item,
          { item, says: places[item] ? `${name}: comes off ${ordinal(Number(places[item]))}` : name },
        ]),
      ),
    [lines, places],
  )

  const tap = (item: string) => {
    setPointed(item)
    if (lines.some((line) => line.item === item)) act({ do: 'tap', item })
  }
  const fromList = (item: string) => {
    tap(item)
    setBring((times) => times + 1)
  }
  const propose = () => {
    const noted = new Map(draft.steps.map((step) => [step.item, step]))
    const steps = props.proposed.draft.steps.map((step) => {
      const { note = '', minutes = '' } = noted.get(step.item) ?? {}
      return { ...step, note, minutes }
    })
    act({ do: 'put', draft: { steps, head: null } })
    setProposes(true)
  }
  const together = (theirs: StripDraft) => {
    const turned = draftsTogether(draft, theirs, lines)
    if ('refused' in turned) return act({ do: 'say', words: turned.refused })
    act({ do: 'put', draft: turned.draft })
    setBase(props.version)
  }

  function key(event: KeyboardEvent<HTMLDivElement>) {
    if (!(event.ctrlKey || event.metaKey) || (event.target as Element).closest('input, select')) return
    const letter = event.key.toLowerCase()
    if (letter === 'z' && !event.shiftKey) act({ do: 'undo' })
    else if (letter === 'y' || letter === 'z') act({ do: 'redo' })
    else return
    event.preventDefault()
  }

  const theirs = props.version > base && props.version !== answered ? props.earlier[0] : undefined
  const inHand = draft.head
  const missing = lines.filter((line) => places[line.item] === undefined)
  return (
    <section className={figureStyles.desk} aria-label="Drawing and strip order" onKeyDown={key}>
      <div className={figureStyles.left}>
        <Drawing
          title={props.title}
          picture={props.picture}
          page={props.page}
          callouts={callouts}
          nameOf={spoken}
          glimpses={glimpses}
          selected={pointed ?? inHand}
          bring={bring}
          places={places}
          onSelect={(item, typed) => (typed ? setPointed(item) : tap(item))}
        />
        <div className={styles.hand}>
          <p role="status">
            {history.refused !== null ? (
              <span className="strong">{history.refused}</span>
            ) : inHand === null ? (
              'The next part you tap comes off by itself.'
            ) : (
              <>
                The next part you tap comes off after <span className="callout">{inHand}</span> {nameOf(inHand)}.
              </>
            )}
          </p>
          <div className="row">
            <button
              type="button"
              className="button"
              disabled={history.past.length === 0}
              onClick={() => act({ do: 'undo' })}
            >
              Undo
            </button>
            <button
              type="button"
              className="button"
              disabled={history.future.length === 0}
              onClick={() => act({ do: 'redo' })}
            >
              Redo
            </button>
            <button
              type="button"
              className="button"
              disabled={inHand === null}
              onClick={() => {
                setPointed(null)
                act({ do: 'by-itself' })
              }}
            >
              By itself
            </button>
          </div>
        </div>
      </div>
      <div className={figureStyles.side}>
        {left && !draftsAlike(left.draft, draft) && history.past.length === 0 ? (
          <div className="caution">
            <p>An order that was not saved is still on this device, from {when(left.at)}.</p>
            <div className="row">
              <button type="button" className="button" onClick={() => act({ do: 'put', draft: left.draft })}>
                Take it up
              </button>
              <button type="button" className="button quiet" onClick={forget}>
                Drop it
              </button>
            </div>
          </div>
        ) : null}
        {theirs ? (
          <SavedBetween
            what="order"
            who={theirs.who}
            size={counted(theirs.draft.steps.length, 'step')}
            onOpen={() => {
              act({ do: 'put', draft: theirs.draft })
              setBase(props.version)
            }}
            onTogether={() => together(theirs.draft)}
            onKeep={() => setBase(props.version)}
          />
        ) : null}
        <div className="row">
          <button type="button" className="button" onClick={propose}>
            Propose from the drawing
          </button>
          {draft.steps.length > 0 ? (
            <button
              type="button"
              className="button quiet"
              onClick={() => act({ do: 'put', draft: { steps: [], head: null } })}
            >
              Begin anew
            </button>
          ) : null}
        </div>
        {proposes ? <p className="small soft">Proposed: {props.proposed.says} Put right what is wrong.</p> : null}
        <h2>Comes off in this order</h2>
        <StripSteps
          draft={draft}
          lines={lines}
          nameOf={nameOf}
          why={proposes ? props.proposed.why : {}}
          onAct={act}
          onTake={fromList}
        />
        {missing.length > 0 ? (
          <>
            <h2>Not in the order</h2>
            <p className="small soft">These come off without anything else in their way, and are in no other’s way.</p>
            <ul className={`plain-list ${editor.lines}`}>
              {missing.map(({ item, name }) => (
                <li key={item}>
                  <button type="button" className={editor.line} onClick={() => fromList(item)}>
                    <span className="callout">{item}</span>{' '}
                    <span>
                      {name}
                      <span className="visually-hidden">, comes off next</span>
                    </span>
                  </button>
                </li>
              ))}
            </ul>
          </>
        ) : null}
        <EarlierSaved
          what="order"
          earlier={props.earlier}
          sizeOf={(one) => counted(one.draft.steps.length, 'step')}
          onOpen={(one) => act({ do: 'put', draft: one.draft })}
        />
        <form
          action={send}
          className={`stack tight ${editor.save}`}
          aria-label="Save the strip order"
          onSubmit={(event) => {
            if (isPending) event.preventDefault()
          }}
        >
          <KeyField initial={props.formKey} answered={state?.ok ? state.key : null} />
          <input type="hidden" name="figureId" value={props.figureId} />
          <input type="hidden" name="edition" value={props.edition} />
          <input type="hidden" name="version" value={base} />
          <input type="hidden" name="steps" value={JSON.stringify(draft.steps)} />
          {/* Said under the drawing as well, which on a phone is out of sight from here. */}
          {history.refused === null ? null : (
            <p className="strong" aria-hidden="true">
              {history.refused}
            </p>
          )}
          {state?.ok && !isSaved ? null : <FormAnswer state={state} />}
          <div className="row">
            <button type="submit" className="button primary" aria-disabled={isPending || undefined}>
              Save the order{isPending ? ' …' : ''}
            </button>
            <span className="small soft">{isSaved ? 'As it is in the book.' : 'Not saved yet.'}</span>
          </div>
        </form>
      </div>
    </section>
  )
}
