'use client'

import { memo, useEffect, useState } from 'react'
import { PART_CLASSES, type PartClass, partClassSays } from '@/lib/catalogue/part-class.ts'
import type { DeskAct, DeskRow, DeskRowField } from '@/lib/figure/desk.ts'
import { STOCK_UNITS, type StockUnit } from '@/lib/measure/quantity.ts'
import styles from '../desk.module.css'

/** Rows on screen at a time: thousands of fields at once make a phone stand still. */
const CHUNK = 60

export interface RowsProps {
  rows: readonly DeskRow[]
  /** Row in hand, and the item that is chosen on the page. */
  active: string | null
  chosenItem: string | null
  faults: ReadonlyMap<string, string[]>
  doubtful: ReadonlySet<string>
  onAct: (act: DeskAct) => void
  onActive: (id: string) => void
}

export function Rows(props: RowsProps) {
  const { rows, active, onAct } = props
  const [from, setFrom] = useState(0)
  const at = rows.findIndex((row) => row.id === active)
  useEffect(() => {
    if (at >= 0) setFrom(Math.floor(at / CHUNK) * CHUNK)
  }, [at])
  const first = Math.min(from, Math.max(0, Math.floor((rows.length - 1) / CHUNK) * CHUNK))
  return (
    <section className="stack tight" aria-labelledby="rows">
      <h2 id="rows">Parts list</h2>
      {rows.length === 0 ? (
        <p className="empty">No row was read. Add the first one, or bring the page in with its list.</p>
      ) : null}
      <div className={styles.rows}>
        {rows.slice(first, first + CHUNK).map((row, index) => (
          <Row
            key={row.id}
            row={row}
            place={first + index + 1}
            isActive={row.id === active}
            isChosen={props.chosenItem !== null && row.item === props.chosenItem}
            isDoubtful={props.doubtful.has(row.id)}
            faults={props.faults.get(row.id)}
            onAct={onAct}
            onActive={props.onActive}
          />
        ))}
      </div>
      <div className="row">
        <button type="button" className="button" onClick={() => onAct({ do: 'add-row', item: '', after: active })}>
          Add a row
        </button>
        {rows.some((row) => row.quantity.trim() === '' && row.quantityNote.trim() === '') ? (
          <button type="button" className="button" onClick={() => onAct({ do: 'count-one' })}>
            Count one where no quantity is printed
          </button>
        ) : null}
        {rows.length > CHUNK ? (
          <>
            <button
              type="button"
              className="button"
              disabled={first === 0}
              onClick={() => setFrom(Math.max(0, first - CHUNK))}
            >
              Rows before
            </button>
            <span className="soft small">
              {first + 1} to {Math.min(rows.length, first + CHUNK)} of {rows.length}
            </span>
            <button
              type="button"
              className="button"
              disabled={first + CHUNK >= rows.length}
              onClick={() => setFrom(first + CHUNK)}
            >
              Rows after
            </button>
          </>
        ) : null}
      </div>
    </section>
  )
}

const FIELDS: readonly { field: DeskRowField; label: string; most: number; style: string | undefined }[] = [
  { field: 'item', label: 'Item', most: 8, style: styles.cellItem },
  { field: 'partNumber', label: 'Part number', most: 60, style: styles.cellNumber },
  { field: 'description', label: 'Description', most: 200, style: styles.cellWords },
  { field: 'quantity', label: 'Quantity', most: 12, style: styles.cellQuantity },
]

const BY: Record<DeskRow['classBy'], string> = {
  words: ', by its words',
  catalogue: ', as in the catalogue',
  person: '',
}

interface RowProps {
  row: DeskRow
  place: number
  isActive: boolean
  isChosen: boolean
  isDoubtful: boolean
  faults: string[] | undefined
  onAct: (act: DeskAct) => void
  onActive: (id: string) => void
}

const Row = memo(function Row({ row, place, isActive, isChosen, isDoubtful, faults, onAct, onActive }: RowProps) {
  const faultId = `${row.id}-fault`
  const set = (field: DeskRowField) => (event: { target: { value: string } }) =>
    onAct({ do: 'set-row', id: row.id, field, value: event.target.value })
  return (
    <fieldset
      className={`${styles.row} ${isChosen || isActive ? styles.rowChosen : ''} ${isDoubtful ? styles.rowDoubtful : ''}`}
      onFocus={() => onActive(row.id)}
    >
      <legend className="visually-hidden">
        Row {place}, item {row.item || 'without a number'}
      </legend>
      {FIELDS.map(({ field, label, most, style }) => (
        <label key={field} className={style}>
          <span className={place === 1 ? styles.cellLabel : `${styles.cellLabel} ${styles.cellLabelBelow}`}>
            {label}
          </span>
          <input
            value={row[field]}
            maxLength={most}
            autoComplete="off"
            data-row={row.id}
            data-field={field}
            aria-invalid={faults ? true : undefined}
            aria-describedby={faults ? faultId : undefined}
            onChange={set(field)}
          />
        </label>
      ))}
      {row.description.trim() === '' ? null : (
        <p className={`small soft ${styles.rowKind}`}>
          {row.partClass === 'other' && row.classBy === 'words'
            ? 'class: other. The words do not say it for certain: tell it where the row is in hand.'
            : `class: ${partClassSays(row.partClass)}${BY[row.classBy]}`}
        </p>
      )}
      {faults ? (
        <p className={`fault ${styles.rowFault}`} id={faultId}>
          ▲ {faults.join('; ')}
        </p>
      ) : null}
      {isActive ? (
        <div className={styles.rowMore}>
          <label>
            <span className={styles.cellLabel}>Printed instead of a quantity</span>
            <input
              value={row.quantityNote}
              maxLength={20}
              autoComplete="off"
              placeholder="AR, REF"
              onChange={set('quantityNote')}
            />
          </label>
          <label>
            <span className={styles.cellLabel}>Kept by</span>
            <select
              value={row.unit}
              onChange={(event) => onAct({ do: 'set-unit', id: row.id, unit: event.target.value as StockUnit })}
            >
              {STOCK_UNITS.map((unit) => (
                <option key={unit}>{unit}</option>
              ))}
            </select>
          </label>
          <label>
            <span className={styles.cellLabel}>Class of the part</span>
            <select
              value={row.partClass}
              onChange={(event) => onAct({ do: 'set-class', id: row.id, partClass: event.target.value as PartClass })}
            >
              {PART_CLASSES.map((one) => (
                <option key={one} value={one}>
                  {partClassSays(one)}
                </option>
              ))}
            </select>
          </label>
          <button type="button" className="button quiet" onClick={() => onAct({ do: 'delete-row', id: row.id })}>
            Take the row away
          </button>
        </div>
      ) : null}
    </fieldset>
  )
})
