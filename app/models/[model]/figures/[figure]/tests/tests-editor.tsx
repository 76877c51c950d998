'use client'

import { useRouter } from 'next/navigation'
import { useActionState, useEffect, useReducer, useRef, useState } from 'react'
import type { ActionState } from '@/app/_server/answer.ts'
import { FormAnswer } from '@/app/_server/form-answer.tsx'
import { KeyField } from '@/app/_server/key-field.tsx'
import { type TestDraft, testDraftRow, testsAlike, testsHistory, testsTogether } from '@/lib/job/test-draft.ts'
import { TESTS_MAX, type TestRow, testRowMeasures } from '@/lib/job/test-list.ts'
import { counted } from '@/lib/measure/counted.ts'
import editor from '../editor.module.css'
import { EarlierSaved, type SavedBefore, SavedBetween } from '../saved-before.tsx'
import { saveTests } from './actions.ts'
import { TestFields } from './test-fields.tsx'

interface EarlierList extends SavedBefore {
  rows: TestRow[]
}

export interface EditorProps {
  figureId: number
  version: number
  kept: TestRow[]
  /** Names of the sides of the machine; none where the assembly sits once. */
  sides: string[]
  earlier: EarlierList[]
  formKey: string
}

const draftsOf = (rows: readonly TestRow[], from = 'kept'): TestDraft[] =>
  rows.map((row, at) => ({ ...row, id: `${from}-${at}`, measures: testRowMeasures(row) }))

/** The list of tests of a figure: nothing is in the book before it is saved, and it is saved as a whole. */
export function TestsEditor(props: EditorProps) {
  const router = useRouter()
  const [{ rows, past }, act] = useReducer(testsHistory, props.kept, (kept) => ({ rows: draftsOf(kept), past: [] }))
  const [state, send, isPending] = useActionState<
    ActionState<{ figureId: number; version: number; jobs: number }>,
    FormData
  >(saveTests, null)
  // The version that this list builds on; a newer one in the book is somebody else's until it was looked at.
  const [base, setBase] = useState(props.version)
  const [openId, setOpenId] = useState<string | null>(null)
  const count = useRef(0)
  const frame = useRef<HTMLElement>(null)
  /** Names of the rows as they were sent: a refusal counts them, and they may be moved afterwards. */
  const sent = useRef<string[]>([])
  const isSaved = testsAlike(rows.map(testDraftRow), props.kept)

  const answered = state?.ok ? state.answer.version : null
  useEffect(() => {
    if (answered !== null) setBase((before) => Math.max(before, answered))
  }, [answered])
  const isOvertaken = state?.ok === false && state.code === 'figure/tests-changed'
  useEffect(() => {
    if (isOvertaken) router.refresh()
  }, [isOvertaken, router])
  useEffect(() => {
    // Behind the alert, which takes the focus first: what is to be corrected is the better place.
    if (state?.ok === false) frame.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus()
  }, [state])

  const faultsOf = (id: string): Record<string, string> => {
    const at = sent.current.indexOf(id)
    if (state?.ok !== false || at < 0) return {}
    const head = `tests.${at}.`
    return Object.fromEntries(
      Object.entries(state.fields).flatMap(([name, words]) =>
        name.startsWith(head) ? [[name.slice(head.length), words]] : [],
      ),
    )
  }
  const theirs = props.version > base && props.version !== answered ? props.earlier[0] : undefined
  const put = (next: TestDraft[]) => act({ do: 'put', rows: next })
  const add = () => {
    count.current += 1
    const id = `added-${count.current}`
    act({ do: 'add', id })
    setOpenId(id)
  }
  return (
    <section className="stack" aria-label="List of tests" ref={frame}>
      {theirs ? (
        <SavedBetween
          what="list"
          who={theirs.who}
          size={counted(theirs.rows.length, 'test')}
          onOpen={() => {
            put(draftsOf(theirs.rows))
            setBase(props.version)
          }}
          onTogether={() => {
            put(testsTogether(draftsOf(theirs.rows, `list-${theirs.version}`), rows))
            setBase(props.version)
          }}
          onKeep={() => setBase(props.version)}
        />
      ) : null}
      {rows.length === 0 ? (
        <p className="empty">
          No test yet. Add what the maker’s manual asks for before the machine goes back to work: wheel turns freely, no
          drips under pressure, lining thick enough.
        </p>
      ) : (
        <ol className={`plain-list ${editor.lines}`}>
          {rows.map((row, at) => (
            <TestFields
              key={row.id}
              row={row}
              at={at}
              count={rows.length}
              sides={props.sides}
              faults={faultsOf(row.id)}
              isOpen={openId === row.id}
              onOpen={() => setOpenId((before) => (before === row.id ? null : row.id))}
              onAct={act}
            />
          ))}
        </ol>
      )}
      <div className="row">
        <button type="button" className="button" onClick={add} disabled={rows.length >= TESTS_MAX}>
          Add a test
        </button>
        <button type="button" className="button quiet" onClick={() => act({ do: 'undo' })} disabled={past.length === 0}>
          Undo
        </button>
      </div>
      <EarlierSaved
        what="list"
        earlier={props.earlier}
        sizeOf={(one) => counted(one.rows.length, 'test')}
        onOpen={(one) => put(draftsOf(one.rows))}
      />
      <form
        action={send}
        className={`stack tight ${editor.save}`}
        aria-label="Save the list of tests"
        onSubmit={(event) => {
          if (isPending) event.preventDefault()
          else sent.current = rows.map((row) => row.id)
        }}
      >
        <KeyField initial={props.formKey} answered={state?.ok ? state.key : null} />
        <input type="hidden" name="figureId" value={props.figureId} />
        <input type="hidden" name="version" value={base} />
        <input type="hidden" name="tests" value={JSON.stringify(rows.map(testDraftRow))} />
        {state?.ok && !isSaved ? null : <FormAnswer state={state} />}
        <div className="row">
          <button type="submit" className="button primary" aria-disabled={isPending || undefined}>
            Save the list{isPending ? ' …' : ''}
          </button>
          <span className="small soft">{isSaved ? 'As it is in the book.' : 'Not saved yet.'}</span>
        </div>
      </form>
    </section>
  )
}
