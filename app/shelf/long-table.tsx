'use client'

import { type KeyboardEvent, type ReactNode, useCallback, useEffect, useRef, useState } from 'react'
import { flushSync } from 'react-dom'
import type { TableAnchor, TableColumn } from '@/lib/stock/table.ts'
import styles from './long-table.module.css'
import { StockCells, StockHead } from './stock-lines.tsx'
import type { TableLine } from './table-line.ts'

/** Height of a row, pixels; the style sheet says the same. */
const ROW = 44
/** Rows drawn above and below those in sight. */
const SPARE = 12
const STEPS: Record<string, number> = { ArrowDown: 1, ArrowUp: -1, PageDown: 15, PageUp: -15 }

/**
 * The whole stock table in one window that scrolls: only the rows in sight are drawn, and they come from the server as they are
 * reached. Where there is too little room, or no script, the page of rows that the server wrote (`children`) stays.
 */
export function LongTable(props: {
  rows: number
  window: number
  anchors: readonly TableAnchor[]
  /** Address of one window, without the row it begins behind. */
  address: string
  columns: readonly TableColumn[]
  /** The first window, where it is the page that the server wrote. */
  begins: readonly TableLine[] | null
  children: ReactNode
}) {
  const { rows, window: size, anchors, address, columns, begins, children } = props
  const [isWide, setIsWide] = useState(false)
  const [top, setTop] = useState(0)
  const [active, setActive] = useState(0)
  const [fault, setFault] = useState('')
  const [known, setKnown] = useState<ReadonlyMap<number, readonly TableLine[]>>(
    () => new Map(begins ? [[0, begins]] : []),
  )
  const asked = useRef(new Set(known.keys()))
  const frame = useRef<HTMLElement>(null)
  /** Row whose part takes the focus as soon as it is there. */
  const wanted = useRef<number | null>(null)

  useEffect(() => {
    const room = matchMedia('(min-width: 60rem)')
    const look = () => setIsWide(room.matches)
    look()
    room.addEventListener('change', look)
    return () => room.removeEventListener('change', look)
  }, [])

  const fetchWindow = useCallback(
    async (at: number) => {
      if (asked.current.has(at)) return
      asked.current.add(at)
      const url = new URL(address, location.href)
      const anchor = anchors[at - 1]
      if (anchor) for (const [name, value] of Object.entries(anchor)) url.searchParams.set(name, String(value))
      try {
        const answer = await fetch(url)
        if (!answer.ok) throw new Error(String(answer.status))
        const lines = (await answer.json()) as TableLine[]
        setKnown((before) => new Map(before).set(at, lines))
        setFault('')
      } catch {
        asked.current.delete(at)
        setFault('Some rows could not be fetched. Scroll again when the signal is back.')
      }
    },
    [address, anchors],
  )

  const focusWanted = useCallback(() => {
    const link = frame.current?.querySelector<HTMLElement>(`[data-row='${wanted.current}'] a`)
    if (!link) return
    wanted.current = null
    link.focus({ preventScroll: true })
  }, [])
  // Rows that came may hold the one that is waited for.
  useEffect(() => {
    if (known.size > 0) focusWanted()
  }, [known, focusWanted])

  const height = frame.current?.clientHeight ?? 600
  const first = Math.max(0, Math.floor(top / ROW) - SPARE)
  const last = Math.min(rows, Math.ceil((top + height) / ROW) + SPARE)
  useEffect(() => {
    if (!isWide) return
    for (let at = Math.floor(first / size); at * size < last; at++) void fetchWindow(at)
  }, [isWide, first, last, size, fetchWindow])

  if (!isWide || rows <= size) return children

  const go = (to: number) => {
    const row = Math.min(rows - 1, Math.max(0, to))
    const box = frame.current!
    const [from, room] = [row * ROW, box.clientHeight - 2 * ROW]
    if (from < box.scrollTop) box.scrollTop = from
    else if (from > box.scrollTop + room) box.scrollTop = from - room
    flushSync(() => {
      setActive(row)
      setTop(box.scrollTop)
    })
    // The row it stood on may be gone, and the one it goes to not there yet: the table keeps the keys meanwhile.
    box.focus({ preventScroll: true })
    wanted.current = row
    focusWanted()
  }
  const onKeyDown = (event: KeyboardEvent) => {
    const step = STEPS[event.key]
    if (event.ctrlKey || event.altKey || event.metaKey) return
    if (step !== undefined) go(active + step)
    else if (event.key === 'Home') go(0)
    else if (event.key === 'End') go(rows - 1)
    else return
    event.preventDefault()
  }
  return (
    <>
      <p className="small soft">
        {rows.toLocaleString('en-GB')} rows. Arrow keys, Page up, Page down, Home and End go through them, Enter opens
        the part.
      </p>
      {fault ? <p role="alert">{fault}</p> : null}
      <section
        ref={frame}
        tabIndex={-1}
        className={styles.frame}
        aria-label="Stock table"
        onScroll={(event) => setTop(event.currentTarget.scrollTop)}
        onKeyDown={onKeyDown}
      >
        <div style={{ paddingTop: first * ROW, paddingBottom: (rows - last) * ROW }}>
          <table className={`parts ${styles.table}`} aria-rowcount={rows + 1}>
            <caption className="visually-hidden">Stock</caption>
            <thead>
              <StockHead columns={columns} />
            </thead>
            <tbody>
              {Array.from({ length: last - first }, (_, n) => {
                const at = first + n
                const line = known.get(Math.floor(at / size))?.[at % size]
                return (
                  <tr key={at} data-row={at} aria-rowindex={at + 2} onFocus={() => setActive(at)}>
                    {line ? (
                      <StockCells line={line} columns={columns} />
                    ) : (
                      <td className="soft" colSpan={columns.length + 1}>
                        …
                      </td>
                    )}
                  </tr>
                )
              })}
            </tbody>
          </table>
        </div>
      </section>
    </>
  )
}
