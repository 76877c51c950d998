'use client'

import { useId, useState } from 'react'
import { Field } from '@/app/_server/field.tsx'
import { useFieldState, useFormState } from '@/app/_server/form-state.tsx'
import { endShare, placeSays } from '@/lib/figure/shaft-end.ts'
import type { StockUnit } from '@/lib/measure/quantity.ts'
import styles from './target-fields.module.css'

/** Typed in the smallest unit that is kept: a target is a dab of grease more often than a drum. */
const HOW_MUCH: Record<StockUnit, string> = {
  each: 'How many to renew',
  litre: 'How much to renew, millilitres',
  kilogram: 'How much to renew, grams',
  metre: 'How much to renew, millimetres',
}

/** "Drive end (DE)": the code is what stands on bearing lists and reports. */
function endLabel(code: string): string {
  const says = placeSays(code)
  return `${says[0]!.toUpperCase()}${says.slice(1)} (${code})`
}

/**
 * Which side, which station, which end, and how many pieces. The number follows the ticks (per assembly times sides, one a station,
 * half of them at one end) until somebody types another one.
 */
export function TargetFields(props: {
  positions: { code: string; label: string }[]
  /** Codes that are ticked to begin with: what the search was told of the side. */
  meant?: string[]
  /** What is ticked to begin with where the job has said it already, stations included. */
  before?: string[]
  stations: number | null
  /** Ends of the shaft, where the part sits at both. */
  ends: string[]
  perAssembly: number
  unit: StockUnit
}) {
  const { positions, stations, ends, perAssembly } = props
  const [ticked, setTicked] = useState<string[]>(props.before ?? (props.stations === null ? (props.meant ?? []) : []))
  const [typed, setTyped] = useState<string | null>(null)
  const { fault, typed: told } = useFieldState('positions')
  const { refused } = useFormState()
  const sent = refused ? [told ?? []].flat().join() : 'not'
  const id = useId()
  const around =
    stations === null
      ? []
      : Array.from({ length: stations }, (_, at) => ({ code: String(at + 1), label: String(at + 1) }))
  const tickedOf = (places: { code: string }[]) => places.filter(({ code }) => ticked.includes(code)).length
  const atEnds = ends.map((code) => ({ code, label: endLabel(code) }))
  const each = stations === null ? endShare(perAssembly, tickedOf(atEnds)) : Math.max(1, tickedOf(around))
  const count = Math.max(1, tickedOf(positions)) * each
  // A wheel stud has both: a side of the axle, and a place round its hub.
  const groups = [
    { legend: 'Which side?', className: styles.positions, places: positions },
    { legend: `Which station, of ${stations} round the rotor?`, className: styles.stations, places: around },
    { legend: 'Which end of the shaft?', className: styles.positions, places: atEnds },
  ].filter(({ places }) => places.length > 0)
  return (
    <>
      {groups.map((group, at) => (
        <fieldset className="field" key={group.legend} aria-describedby={fault && at === 0 ? `${id}-fault` : undefined}>
          <legend>{group.legend}</legend>
          <div className={group.className}>
            {group.places.map((place) => (
              <label className="tick" key={place.code}>
                <input
                  // After a refusal the browser unticks what it was not told of; a new box starts as it was ticked.
                  key={`${sent} ${place.code}`}
                  type="checkbox"
                  name="positions"
                  value={place.code}
                  checked={ticked.includes(place.code)}
                  onChange={(event) =>
                    setTicked((before) =>
                      event.target.checked ? [...before, place.code] : before.filter((code) => code !== place.code),
                    )
                  }
                />
                <span>{place.label}</span>
              </label>
            ))}
          </div>
          {fault && at === 0 ? (
            <p className="fault" id={`${id}-fault`}>
              {fault}
            </p>
          ) : null}
        </fieldset>
      ))}
      {stations !== null && tickedOf(around) === 0 ? (
        <p className="small">
          No station ticked: the part opposite cannot be proposed, and what turns with one new part may run out of
          balance.
        </p>
      ) : null}
      {ends.length > 0 && tickedOf(atEnds) === 0 ? (
        <p className="small">
          No end ticked: the job cannot say which of them is new, and the other end cannot be proposed.
        </p>
      ) : null}
      <Field
        name="quantity"
        label={HOW_MUCH[props.unit]}
        type="number"
        inputMode="numeric"
        min={1}
        className="input-number"
        value={typed ?? String(count)}
        onChange={(event) => setTyped(event.target.value)}
      />
    </>
  )
}
