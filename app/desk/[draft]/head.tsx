'use client'

import type { DeskAct, DeskDraft, DeskHead } from '@/lib/figure/desk.ts'
import { deskKeepGrown } from '@/lib/figure/desk-check.ts'
import styles from '../desk.module.css'

export interface ModelChoice {
  id: number
  maker: string
  name: string
  kind: string
}

/** What figure it is, of which machine model, and which part of the page becomes the drawing. */
export function Head(props: {
  draft: DeskDraft
  models: readonly ModelChoice[]
  /** The figure it renews keeps its number and its model. */
  renews: { number: string; model: string } | null
  faults: readonly string[]
  /** What is still to be filled in, before the page can be published. */
  blank: readonly string[]
  onAct: (act: DeskAct) => void
}) {
  const { draft, models, renews, onAct } = props
  const { head } = draft
  const set = (change: Partial<DeskHead>) => onAct({ do: 'set-head', head: change })
  const isUnsure = (field: string) => head.unsure.some((one) => one === field)
  const text = (field: 'maker' | 'model' | 'kind' | 'number' | 'title', label: string, most: number) => (
    <div className="field">
      <label htmlFor={`head-${field}`}>{label}</label>
      <input
        id={`head-${field}`}
        value={head[field]}
        maxLength={most}
        autoComplete="off"
        aria-describedby={isUnsure(field) ? `head-${field}-unsure` : undefined}
        onChange={(event) => set({ [field]: event.target.value })}
      />
      {isUnsure(field) ? (
        <p className="hint" id={`head-${field}-unsure`}>
          ◇ as read off the page, unsure: compare it
        </p>
      ) : null}
    </div>
  )
  return (
    <section className="stack tight" aria-labelledby="head">
      <h2 id="head">Which figure it is</h2>
      {renews ? (
        <p>
          A newer page of {renews.model}, figure {renews.number}.
        </p>
      ) : (
        <div className="field">
          <label htmlFor="head-machine">Machine model</label>
          <select
            id="head-machine"
            value={head.modelId ?? ''}
            onChange={(event) => {
              const model = models.find((one) => String(one.id) === event.target.value)
              set(
                model
                  ? { modelId: model.id, maker: model.maker, model: model.name, kind: model.kind }
                  : { modelId: null, maker: '', model: '', kind: '' },
              )
            }}
          >
            <option value="">a model that is not in the list</option>
            {models.map((model) => (
              <option key={model.id} value={model.id}>
                {model.maker} {model.name}
              </option>
            ))}
          </select>
        </div>
      )}
      {!renews && head.modelId === null ? (
        <div className={styles.headGrid}>
          {text('maker', 'Maker of the machine', 80)}
          {text('model', 'Name of the model', 80)}
          {text('kind', 'Kind of machine', 60)}
        </div>
      ) : null}
      <div className={styles.headGrid}>
        {renews ? null : text('number', 'Figure number', 20)}
        {text('title', 'Title', 120)}
      </div>
      {head.unsure.length > 0 ? (
        <p>
          <button type="button" className="button quiet" onClick={() => onAct({ do: 'head-seen' })}>
            {head.unsure.length > 1 ? 'Number and title are right' : 'It is right'}
          </button>
        </p>
      ) : null}
      <details>
        <summary className="button quiet">Places, and what is kept of the page</summary>
        <div className="stack tight">
          <div className="field">
            <label htmlFor="head-positions">Where the assembly sits on the machine</label>
            <p className="hint" id="head-positions-hint">
              One place a line, its short code first: LH left wheel. Leave it empty when there is only one.
            </p>
            <textarea
              id="head-positions"
              aria-describedby="head-positions-hint"
              value={head.positions}
              maxLength={2000}
              onChange={(event) => set({ positions: event.target.value })}
            />
          </div>
          <div className="field">
            <label htmlFor="head-keep">What becomes the drawing</label>
            <select
              id="head-keep"
              value={keepIndex(draft)}
              onChange={(event) => {
                const at = Number(event.target.value)
                if (at !== -2) onAct({ do: 'keep', box: draft.drawings[at] ?? null })
              }}
            >
              {keepIndex(draft) === -2 ? <option value={-2}>the dashed part of the page</option> : null}
              <option value={-1}>the whole page</option>
              {draft.drawings.map((box, at) => (
                <option key={String(box)} value={at}>
                  {at === 0 ? 'the drawing, cut out of the page' : `only part ${at} of the drawing`}
                </option>
              ))}
            </select>
            <div className="row">
              <button
                type="button"
                className="button"
                onClick={() => onAct({ do: 'keep', box: deskKeepGrown(draft, 0.03) })}
              >
                Keep more around it
              </button>
              <button
                type="button"
                className="button"
                onClick={() => onAct({ do: 'keep', box: deskKeepGrown(draft, -0.03) })}
              >
                Keep less around it
              </button>
            </div>
          </div>
        </div>
      </details>
      {props.blank.length > 0 ? <p className="soft small">Still to fill in: {props.blank.join(', ')}.</p> : null}
      {props.faults.length > 0 ? (
        <ul className={styles.headFaults}>
          {props.faults.map((fault) => (
            <li key={fault}>▲ {fault}</li>
          ))}
        </ul>
      ) : null}
    </section>
  )
}

function keepIndex({ keep, drawings }: DeskDraft): number {
  if (keep === null) return -1
  const at = drawings.findIndex((box) => String(box) === String(keep))
  return at < 0 ? -2 : at
}
