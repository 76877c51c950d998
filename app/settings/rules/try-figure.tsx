'use client'

import { useEffect, useState } from 'react'
import { paths } from '@/app/paths.ts'
import type { ChangeShown } from '@/lib/companion/try-says.ts'
import type { FigureFound, FigureToTry, TargetTried } from '@/lib/db/rule-try.ts'
import { placeSays } from '@/lib/figure/shaft-end.ts'
import { MONTHS } from '@/lib/measure/date.ts'
import { ask, draftOf } from './ask.ts'
import { ChangeList } from './change-list.tsx'

const PAUSE_MS = 350

interface Props {
  /** The form with the draft. */
  formOf: () => HTMLFormElement | null
  ruleId: string | null
  /** Grows with every change of the form. */
  edits: number
}

/** The draft on one figure: what a job would also be asked for, beside what it is asked for now. */
export function TryFigure({ formOf, ruleId, edits }: Props) {
  const [query, setQuery] = useState('')
  const [figures, setFigures] = useState<FigureFound[]>([])
  const [figure, setFigure] = useState<FigureToTry | null>(null)
  const [targets, setTargets] = useState<TargetTried[]>([])
  const [machineId, setMachineId] = useState<number | undefined>()
  const [today, setToday] = useState('')
  const [changes, setChanges] = useState<ChangeShown[] | null>(null)
  const [fault, setFault] = useState('')

  // Figures follow what is looked for; with nothing typed, those that list the kind of part the rule is about.
  useEffect(() => {
    const mine = new AbortController()
    const pause = setTimeout(
      async () => {
        const form = formOf()
        const classes = form ? new FormData(form).getAll('classes[]').join(',') : ''
        try {
          const answer = await fetch(paths.ruleTry({ q: query, classes }), { signal: mine.signal })
          if (answer.ok) setFigures((await answer.json()) as FigureFound[])
        } catch {
          // Something newer was typed, or the signal is weak: the list stays as it was.
        }
      },
      edits === 0 ? 0 : PAUSE_MS,
    )
    return () => {
      clearTimeout(pause)
      mine.abort()
    }
  }, [query, edits, formOf])

  useEffect(() => {
    if (!figure || targets.length === 0) return
    const mine = new AbortController()
    const pause = setTimeout(
      async () => {
        const form = formOf()
        if (!form) return
        const body = {
          draft: draftOf(form, ruleId),
          figureId: figure.id,
          modelId: figure.modelId,
          machineId,
          today,
          targets,
        }
        try {
          setChanges(await ask<ChangeShown[]>(paths.ruleTry(), body, mine.signal))
          setFault('')
        } catch (error) {
          if (!mine.signal.aborted)
            setFault(error instanceof RangeError ? error.message : 'No answer. Is the signal weak?')
        }
      },
      edits === 0 ? 0 : PAUSE_MS,
    )
    return () => {
      clearTimeout(pause)
      mine.abort()
    }
  }, [figure, targets, machineId, today, ruleId, edits, formOf])

  async function choose(key: string) {
    setChanges(null)
    const [id, modelId] = key.split('/').map(Number)
    const answer = key === '' ? null : await fetch(paths.ruleTry({ figure: id, model: modelId }))
    if (!answer?.ok) return setFigure(null)
    const found = (await answer.json()) as FigureToTry
    const form = formOf()
    const classes = new Set(form ? new FormData(form).getAll('classes[]').map(String) : [])
    const line = found.lines.find((one) => classes.has(one.partClass)) ?? found.lines[0]
    setFigure(found)
    setMachineId(found.machines[0]?.id)
    setToday((now) => now || new Date().toISOString().slice(0, 10))
    setTargets(line ? [{ lineId: line.lineId, positions: placesOf(found, line.lineId).slice(0, 1) }] : [])
  }

  const differs = changes?.filter((change) => change.kind !== 'same') ?? []
  const same = changes?.filter((change) => change.kind === 'same') ?? []
  return (
    <section className="stack" aria-labelledby="try">
      <h2 id="try">Try it on a figure</h2>
      <div className="field">
        <label htmlFor="try-q">Look for a figure</label>
        <input id="try-q" type="search" value={query} onChange={(event) => setQuery(event.target.value)} />
      </div>
      <div className="field">
        <label htmlFor="try-figure">Figure</label>
        <select
          id="try-figure"
          value={figure ? `${figure.id}/${figure.modelId}` : ''}
          onChange={(event) => void choose(event.target.value)}
        >
          <option value="">choose one</option>
          {figures.map((one) => (
            <option key={`${one.id}/${one.modelId}`} value={`${one.id}/${one.modelId}`}>
              {one.says}
            </option>
          ))}
        </select>
      </div>
      {figure ? <Targets figure={figure} targets={targets} onChange={setTargets} /> : null}
      {figure && figure.machines.length > 0 ? (
        <div className="row end">
          <div className="field">
            <label htmlFor="try-machine">On</label>
            <select id="try-machine" value={machineId} onChange={(event) => setMachineId(Number(event.target.value))}>
              {figure.machines.map((one) => (
                <option key={one.id} value={one.id}>
                  {one.says}
                </option>
              ))}
            </select>
          </div>
          <div className="field">
            <label htmlFor="try-month">In</label>
            <select
              id="try-month"
              value={Number(today.slice(5, 7))}
              onChange={(event) => setToday(monthSet(today, Number(event.target.value)))}
            >
              {MONTHS.map((name, at) => (
                <option key={name} value={at + 1}>
                  {name}
                </option>
              ))}
            </select>
          </div>
        </div>
      ) : null}
      <div role="status" className="stack tight">
        {fault ? <p className="alert">{fault}</p> : null}
        {changes && !fault ? (
          <>
            <p className="strong">{differs.length === 0 ? 'Nothing would change here.' : 'This would change:'}</p>
            <ChangeList changes={differs} />
            {same.length > 0 ? (
              <details>
                <summary className="button quiet">As now ({same.length})</summary>
                <ChangeList changes={same} />
              </details>
            ) : null}
          </>
        ) : null}
      </div>
    </section>
  )
}

/** The same year, another month; its first day, since not every month has a thirty-first. */
function monthSet(date: string, month: number): string {
  return `${date.slice(0, 4)}-${String(month).padStart(2, '0')}-01`
}

function placesOf(figure: FigureToTry, lineId: number): string[] {
  const { stations = null, ends = [] } = figure.lines.find((line) => line.lineId === lineId) ?? {}
  return stations
    ? Array.from({ length: stations }, (_, at) => String(at + 1))
    : [...figure.positions.map((position) => position.code), ...ends]
}

function Targets(props: { figure: FigureToTry; targets: TargetTried[]; onChange: (targets: TargetTried[]) => void }) {
  const { figure, targets, onChange } = props
  const set = (at: number, target: TargetTried) => onChange(targets.map((one, of) => (of === at ? target : one)))
  return (
    <div className="stack tight">
      {targets.map((target, at) => {
        const places = placesOf(figure, target.lineId)
        return (
          <fieldset className="stack tight" key={target.lineId}>
            <legend>To renew{targets.length > 1 ? ` ${at + 1}` : ''}</legend>
            <select
              aria-label={`Part to renew ${at + 1}`}
              value={target.lineId}
              onChange={(event) => {
                const lineId = Number(event.target.value)
                set(at, { lineId, positions: placesOf(figure, lineId).slice(0, 1) })
              }}
            >
              {figure.lines.map((line) => (
                <option
                  key={line.lineId}
                  value={line.lineId}
                  disabled={targets.some((one) => one !== target && one.lineId === line.lineId)}
                >
                  {line.says}
                </option>
              ))}
            </select>
            <div className="row">
              {places.map((code) => (
                <label className="tick" key={code}>
                  <input
                    type="checkbox"
                    checked={target.positions.includes(code)}
                    onChange={(event) => {
                      const rest = target.positions.filter((one) => one !== code)
                      const positions = places.filter((one) =>
                        one === code ? event.target.checked : rest.includes(one),
                      )
                      if (positions.length > 0) set(at, { ...target, positions })
                    }}
                  />
                  <span>{placeSays(code)}</span>
                </label>
              ))}
            </div>
            {targets.length > 1 ? (
              <button
                type="button"
                className="button quiet"
                onClick={() => onChange(targets.filter((_, of) => of !== at))}
              >
                Take this part off
              </button>
            ) : null}
          </fieldset>
        )
      })}
      <button
        type="button"
        className="button"
        onClick={() => {
          const free = figure.lines.find((line) => !targets.some((target) => target.lineId === line.lineId))
          if (free)
            onChange([...targets, { lineId: free.lineId, positions: placesOf(figure, free.lineId).slice(0, 1) }])
        }}
      >
        Renew another part too
      </button>
    </div>
  )
}
