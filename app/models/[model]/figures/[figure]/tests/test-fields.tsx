'use client'

import { useId } from 'react'
import { FieldFrame, fieldTies } from '@/app/_server/field.tsx'
import { measureLimitsSay, measureParse } from '@/lib/job/measurement.ts'
import type { TestAct, TestDraft } from '@/lib/job/test-draft.ts'
import { TEST_LETTERS_MAX } from '@/lib/job/test-list.ts'
import editor from '../editor.module.css'
import styles from './tests.module.css'

interface Props {
  row: TestDraft
  at: number
  count: number
  sides: readonly string[]
  /** What was refused, by field. */
  faults: Record<string, string>
  isOpen: boolean
  onOpen: () => void
  onAct: (act: TestAct) => void
}

/** One test: a line of words that opens to be changed, moved or taken out. What was refused stands open. */
export function TestFields(props: Props) {
  const { row, at, count, sides, faults, onAct } = props
  const isOpen = props.isOpen || Object.keys(faults).length > 0
  const named = row.text.trim() === '' ? 'a new test' : row.text
  return (
    <li className={isOpen ? editor.inHand : undefined}>
      <button type="button" className={editor.line} aria-expanded={isOpen} onClick={props.onOpen}>
        <span className={editor.place}>{at + 1}</span>
        <span className={editor.says}>
          {named}
          <span className={`small soft ${editor.known}`}>{knownSays(row, sides)}</span>
        </span>
      </button>
      {isOpen ? (
        <fieldset className={editor.more}>
          <legend className="visually-hidden">
            Test {at + 1}: {named}
          </legend>
          <Text
            {...props}
            name="text"
            label="What is tested"
            hint="Wheel turns freely, no play."
            max={TEST_LETTERS_MAX}
          />
          <label className="tick">
            <input
              type="checkbox"
              checked={row.measures}
              onChange={(event) =>
                onAct({
                  do: 'set',
                  id: row.id,
                  // What is measured is measured at each side, as long as nobody says otherwise.
                  change: { measures: event.target.checked, eachSide: event.target.checked && sides.length > 0 },
                })
              }
            />
            <span>A value is measured</span>
          </label>
          {row.measures ? (
            <div className={styles.measure}>
              <Text {...props} name="what" label="What is measured" hint="Lining thickness." max={80} />
              <Text {...props} name="unit" label="Unit" hint="mm, bar, N m." max={12} short />
              <Text {...props} name="least" label="Lowest allowed" hint="Empty: none." max={12} short number />
              <Text {...props} name="most" label="Highest allowed" hint="Empty: none." max={12} short number />
            </div>
          ) : null}
          {sides.length > 0 ? (
            <label className="tick">
              <input
                type="checkbox"
                checked={row.eachSide}
                onChange={(event) => onAct({ do: 'set', id: row.id, change: { eachSide: event.target.checked } })}
              />
              <span>At each side by itself ({sides.join(', ')})</span>
            </label>
          ) : null}
          <Stage row={row} onAct={onAct} />
          <div className="row">
            <button
              type="button"
              className="button"
              disabled={at === 0}
              onClick={() => onAct({ do: 'earlier', id: row.id })}
            >
              Earlier<span className="visually-hidden">: {named}</span>
            </button>
            <button
              type="button"
              className="button"
              disabled={at === count - 1}
              onClick={() => onAct({ do: 'later', id: row.id })}
            >
              Later<span className="visually-hidden">: {named}</span>
            </button>
            <button type="button" className="button" onClick={() => onAct({ do: 'drop', id: row.id })}>
              Take out<span className="visually-hidden">: {named}</span>
            </button>
          </div>
        </fieldset>
      ) : null}
    </li>
  )
}

function Stage({ row, onAct }: Pick<Props, 'row' | 'onAct'>) {
  const id = useId()
  const hint =
    'A job is not closed without those before release; those after the run are shown until somebody ticks them.'
  return (
    <FieldFrame id={id} label="When" hint={hint}>
      <select
        {...fieldTies(id, hint, undefined)}
        value={row.stage}
        onChange={(event) =>
          onAct({
            do: 'set',
            id: row.id,
            change: { stage: event.target.value === 'after-run' ? 'after-run' : 'release' },
          })
        }
      >
        <option value="release">before release</option>
        <option value="after-run">after the first loaded run</option>
      </select>
    </FieldFrame>
  )
}

function Text(
  props: Props & {
    name: 'text' | 'what' | 'unit' | 'least' | 'most'
    label: string
    hint: string
    max: number
    short?: boolean
    number?: boolean
  },
) {
  const { row, name, label, hint, max, short = false, number = false, faults, onAct } = props
  const id = useId()
  return (
    <FieldFrame id={id} label={label} hint={hint} fault={faults[name]}>
      <input
        {...fieldTies(id, hint, faults[name])}
        value={row[name]}
        maxLength={max}
        autoComplete="off"
        className={short ? 'input-number' : undefined}
        inputMode={number ? 'decimal' : undefined}
        onChange={(event) => onAct({ do: 'set', id: row.id, change: { [name]: event.target.value } })}
      />
    </FieldFrame>
  )
}

/** What else is known of a test, under its words: limits, sides, when. */
function knownSays(row: TestDraft, sides: readonly string[]): string {
  const [least, most] = [row.least, row.most].map((text) => measureParse(text) ?? undefined)
  const limits =
    row.measures && row.what.trim() !== '' && (least !== undefined || most !== undefined)
      ? `${row.what}: ${measureLimitsSay({
          what: row.what,
          unit: row.unit,
          ...(least === undefined ? {} : { least }),
          ...(most === undefined ? {} : { most }),
        })}`
      : ''
  return [
    limits,
    row.eachSide && sides.length > 0 ? 'at each side' : '',
    row.stage === 'after-run' ? 'after the first loaded run' : '',
  ]
    .filter((text) => text !== '')
    .join('; ')
}
