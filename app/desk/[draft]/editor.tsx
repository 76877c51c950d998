'use client'

import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { useCallback, useDeferredValue, useMemo, useReducer, useRef, useState } from 'react'
import { paths } from '@/app/paths.ts'
import {
  type DeskAct,
  type DeskDraft,
  type DeskHistory,
  deskHistory,
  deskPause,
  deskRedo,
  deskStep,
  deskUndo,
} from '@/lib/figure/desk.ts'
import { type DeskLook, deskCheck, deskLooks } from '@/lib/figure/desk-check.ts'
import { itemKey } from '@/lib/figure/strip-order.ts'
import type { Point } from '@/lib/geometry/view.ts'
import { counted } from '@/lib/measure/counted.ts'
import styles from '../desk.module.css'
import { InHand } from './hand.tsx'
import { Head, type ModelChoice } from './head.tsx'
import { Looks } from './looks.tsx'
import { Rows } from './rows.tsx'
import { KeysHelp, type Setting, Sheet } from './sheet.tsx'
import type { Handle } from './use-pointer.ts'
import { type Saving, useSaving } from './use-saving.ts'

type Turn = DeskAct | { do: 'undo' } | { do: 'redo' } | { do: 'pause' }

function turn(history: DeskHistory, act: Turn): DeskHistory {
  if (act.do === 'undo') return deskUndo(history)
  if (act.do === 'redo') return deskRedo(history)
  if (act.do === 'pause') return deskPause(history)
  return deskStep(history, act)
}

export function DeskEditor(props: {
  draftId: number
  version: number
  draft: DeskDraft
  picture: string
  renews: { number: string; model: string } | null
  models: readonly ModelChoice[]
}) {
  const router = useRouter()
  const [history, act] = useReducer(turn, props.draft, deskHistory)
  const draft = history.present
  const { saving, settle } = useSaving(props.draftId, props.version, draft)
  const [selected, setSelected] = useState<Handle | null>(null)
  const [activeRow, setActiveRow] = useState<string | null>(null)
  const [setting, setSetting] = useState<Setting>(null)
  const [bring, setBring] = useState(0)
  const field = useRef<HTMLInputElement>(null)
  const root = useRef<HTMLDivElement>(null)

  // Checks trail behind the fingers on a long list, never in front of them.
  const settled = useDeferredValue(draft)
  const looks = useMemo(() => deskLooks(settled), [settled])
  const checked = useMemo(() => deskCheck(settled), [settled])
  const doubtful = useMemo(() => new Set(looks.map((look) => look.id)), [looks])
  const faults = useMemo(() => {
    const byId = new Map<string, string[]>()
    for (const { id, words } of checked.faults) if (id !== null) byId.set(id, [...(byId.get(id) ?? []), words])
    return byId
  }, [checked])

  const blank = [...new Set(checked.faults.flatMap((fault) => (fault.blank === null ? [] : [fault.blank])))]
  const inTheWay = checked.faults.filter((fault) => fault.blank === null).length

  const callout = draft.callouts.find((one) => one.id === selected?.id) ?? null
  const row = draft.rows.find((one) => one.id === activeRow) ?? null
  const handleFocus = ({ id, tip }: Handle) => {
    const end = tip === null ? ':not([data-tip])' : `[data-tip="${tip}"]`
    requestAnimationFrame(() => {
      const find = (selector: string) => root.current?.querySelector<HTMLElement>(selector)
      // What was taken away hands the focus back to the page.
      const to = find(`[data-handle="${id}"]${end}`) ?? find('[aria-roledescription="page"]')
      to?.focus({ preventScroll: true })
    })
  }

  const select = useCallback((handle: Handle | null) => {
    setSelected(handle)
    act({ do: 'pause' })
  }, [])
  const selectRow = useCallback((id: string) => {
    setActiveRow(id)
    act({ do: 'pause' })
  }, [])
  /** Chosen on the page by key: the focus goes along, so that the next key means the same thing. */
  const selectByKey = (handle: Handle | null) => {
    select(handle)
    if (handle) handleFocus(handle)
  }
  const go = (look: DeskLook) => {
    if (look.kind === 'callout') {
      select({ id: look.id, tip: null })
      setBring((times) => times + 1)
      handleFocus({ id: look.id, tip: null })
    } else {
      selectRow(look.id)
      requestAnimationFrame(() => root.current?.querySelector<HTMLElement>(`[data-row="${look.id}"]`)?.focus())
    }
  }
  const edit = () => requestAnimationFrame(() => field.current?.select())
  const addNumber = (at: Point) => {
    // The id that the step will give; the history only ever counts up.
    const id = `c${history.next}`
    act({ do: 'add-callout', item: '', ...at })
    select({ id, tip: null })
    setSetting(null)
    edit()
  }
  const nextDoubt = () => {
    const now = looks.findIndex((look) => look.id === (selected?.id ?? activeRow))
    const next = looks[(now + 1) % Math.max(1, looks.length)]
    if (next) go(next)
  }
  const publish = async () => {
    if (await settle()) router.push(paths.draftPublish(props.draftId))
  }

  return (
    <div ref={root} className="stack">
      <SavingLine saving={saving} />
      <div className={styles.desk}>
        <div className={styles.left}>
          <fieldset className={`row ${styles.steps}`}>
            <legend className="visually-hidden">Steps</legend>
            <button
              type="button"
              className="button"
              aria-pressed={setting === 'number'}
              onClick={() => setSetting(setting === 'number' ? null : 'number')}
            >
              New number
            </button>
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
          </fieldset>
          {setting === 'number' ? (
            <p role="status" className="small">
              Tap the page where the number is printed.
            </p>
          ) : null}
          <Sheet
            draft={draft}
            picture={props.picture}
            selected={selected}
            doubtful={doubtful}
            rowBox={row?.box ?? null}
            setting={setting}
            bring={bring}
            onSelect={(handle) => (handle && handle.id === selected?.id ? selectByKey(handle) : select(handle))}
            onAct={act}
            onSetting={setSetting}
            onNew={addNumber}
            onEdit={edit}
            onNextDoubt={nextDoubt}
            onUndo={() => act({ do: 'undo' })}
            onRedo={() => act({ do: 'redo' })}
          />
          <KeysHelp />
        </div>
        <div className={styles.side}>
          {callout && selected ? (
            <InHand
              callout={callout}
              selected={selected}
              rows={draft.rows}
              field={field}
              setting={setting}
              onAct={act}
              onSelect={select}
              onSetting={setSetting}
              onDone={() => handleFocus({ id: callout.id, tip: null })}
            />
          ) : (
            <p className={`soft ${styles.hand}`}>
              Tap a number on the page to take it in hand, or go by the list below.
            </p>
          )}
          <Looks looks={looks} chosen={selected?.id ?? activeRow} onGo={go} onAct={act} />
          <Head
            draft={draft}
            models={props.models}
            renews={props.renews}
            faults={checked.faults.flatMap((fault) => (fault.id === null && fault.blank === null ? [fault.words] : []))}
            blank={blank}
            onAct={act}
          />
          <Rows
            rows={draft.rows}
            active={activeRow}
            chosenItem={callout ? (draft.rows.find((one) => sameItem(one.item, callout.item))?.item ?? null) : null}
            faults={faults}
            doubtful={doubtful}
            onAct={act}
            onActive={selectRow}
          />
        </div>
      </div>
      <div className="main-action">
        <Link
          className="button primary big"
          href={paths.draftPublish(props.draftId)}
          prefetch={false}
          onNavigate={(event) => {
            event.preventDefault()
            void publish()
          }}
        >
          Look it over and publish
        </Link>
        <span className="soft small">
          {[
            blank.length > 0 ? `still to fill in: ${blank.join(', ')}` : '',
            inTheWay === 0 ? '' : `in the way: ${counted(inTheWay, 'fault')}`,
            `${looks.length} to look at`,
          ]
            .filter((one) => one !== '')
            .join('; ')}
        </span>
      </div>
    </div>
  )
}

function sameItem(a: string, b: string): boolean {
  return itemKey(a) !== '' && itemKey(a) === itemKey(b)
}

function SavingLine({ saving }: { saving: Saving }) {
  if (saving.state === 'refused')
    return (
      <div className="alert" role="alert">
        <p className="strong">{saving.happened}</p>
        <p>{saving.next}</p>
        <button type="button" className="button" onClick={() => location.reload()}>
          Load what is kept
        </button>
      </div>
    )
  return (
    <p role="status" className="small soft">
      {saving.state === 'kept'
        ? // One line, as the next one is: the page below must not jump under a finger while it is saved.
          'Everything is kept as you go.'
        : saving.state === 'keeping'
          ? 'Being kept …'
          : saving.why}
    </p>
  )
}
