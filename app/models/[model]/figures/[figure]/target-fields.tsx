'use client'

import { useId, useState } from 'react'
import { Field } from '@/app/_server/field.tsx'
import { useFieldState } from '@/app/_server/form-state.tsx'
import type { StockUnit } from '@/lib/measure/quantity.ts'
import styles from './target-fields.module.css'

/** Typed in the smallest unit that is kept: a target is a dab of grease more often than a drum. */
const HOW_MUCH: Record<StockUnit, string> = {
  each: 'How many to renew',
  litre: 'How much to renew, millilitres',
  kilogram: 'How much to renew, grams',
  metre: 'How much to renew, millimetres',
}

/**
 * Which side or station, and how many pieces. The number follows the ticks (per assembly times sides, one a station) until
 * somebody types another one.
 */
export function TargetFields(props: {
  positions: { code: string; label: string }[]
  /** Codes that are ticked to begin with: what the search was told of the side. */
  meant?: string[]
  stations: number | null
  perAssembly: number
  unit: StockUnit
}) {
  const { positions, stations, perAssembly } = props
  const [ticked, setTicked] = useState<string[]>(props.stations === null ? (props.meant ?? []) : [])
  const [typed, setTyped] = useState<string | null>(null)
  const { fault } = useFieldState('positions')
  const id = useId()
  const places =
    stations === null
      ? positions.map(({ code, label }) => ({ code, label }))
      : Array.from({ length: stations }, (_, at) => ({ code: String(at + 1), label: String(at + 1) }))
  const each = stations === null ? perAssembly : 1
  const count = places.length === 0 ? perAssembly : Math.max(1, ticked.length) * each
  return (
    <>
      {places.length > 0 ? (
        <fieldset className="field" aria-describedby={fault ? `${id}-fault` : undefined}>
          <legend>{stations === null ? 'Which side?' : `Which station, of ${stations} round the rotor?`}</legend>
          <div className={stations === null ? styles.positions : styles.stations}>
            {places.map((place) => (
              <label className="tick" key={place.code}>
                <input
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
          {fault ? (
            <p className="fault" id={`${id}-fault`}>
              {fault}
            </p>
          ) : null}
        </fieldset>
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
