'use client'

import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { type KeyboardEvent, lazy, Suspense, useCallback, useEffect, useMemo, useState } from 'react'
import { figurePaths } from '@/app/figure-paths.ts'
import type { Callout } from '@/lib/figure/callout.ts'
import type { DeskLine } from './desk-line.ts'
import { Drawing } from './drawing.tsx'
import styles from './figure.module.css'
import { FigureBar, type FigureBarProps } from './figure-bar.tsx'
import { IndentDots } from './indent-dots.tsx'
import type { Glimpse } from './preview.tsx'

const renewForm = () => import('./renew-form.tsx')
const RenewForm = lazy(renewForm)

export interface DeskProps {
  figureId: number
  title: string
  picture: { id: string; extension: string; width: number; height: number }
  page: { width: number; height: number }
  callouts: Callout[]
  positions: { code: string; label: string }[]
  lines: DeskLine[]
  firstItem: string | null
  bar: FigureBarProps
  machineId: number | null
  modelId: number
  /** The open job that parts are chosen for, when the person may work on it. */
  job: { id: number; number: number } | null
  mayOpenJob: boolean
  /** Where on the machine, as the search was told; goes along to the job. */
  side: string
  /** The positions of this figure that are meant by it. */
  meant: string[]
  targeted: number[]
  formKey: string
}

/** Drawing and parts list, linked both ways. */
export function FigureDesk(props: DeskProps) {
  const { lines, callouts } = props
  const router = useRouter()
  const [selected, setSelected] = useState<string | null>(props.firstItem)
  // Grows when the choice came from the list: only then does the drawing move by itself.
  const [bring, setBring] = useState(0)
  const chosen = lines.filter((line) => line.item === selected)
  const nameOf = useMemo(() => {
    const names: Record<string, string> = {}
    for (const line of lines) names[line.item] ??= `${line.item}, ${line.description.toLowerCase()}, ${line.stockWords}`
    for (const callout of callouts) names[callout.item] ??= `${callout.item}, not in the list for this machine`
    return names
  }, [lines, callouts])
  const glimpses = useMemo(() => {
    const known: Record<string, Glimpse> = {}
    for (const line of lines)
      known[line.item] ??= {
        item: line.item,
        says: line.description,
        stock: { shape: line.stockShape, words: line.stockWords, hand: line.handSays, bins: line.bins },
      }
    return known
  }, [lines])
  const fromDrawing = useCallback((item: string) => setSelected(item), [])
  const fromList = (item: string) => {
    setSelected(item)
    setBring((times) => times + 1)
  }

  // With a job in hand the form is fetched before it is asked for: the signal may be gone by then.
  const hasJob = props.job !== null
  useEffect(() => {
    if (hasJob) renewForm().catch(() => undefined)
  }, [hasJob])

  // The address always names the chosen item: what is copied, reloaded or come back to opens with it.
  useEffect(() => {
    const address = new URL(window.location.href)
    if (selected === null || address.searchParams.get('item') === selected) return
    address.searchParams.set('item', selected)
    window.history.replaceState(null, '', address)
  }, [selected])

  /** [ and ] turn the pages of the book while the drawing or its list has the keyboard. */
  function turn(event: KeyboardEvent<HTMLDivElement>) {
    const target = event.target as Element
    const to = event.key === '[' ? props.bar.previous : event.key === ']' ? props.bar.next : null
    if (!to || target.closest('input, select, textarea')) return
    event.preventDefault()
    router.push(to.href)
  }

  return (
    <section className={styles.desk} aria-label="Drawing and parts list" onKeyDown={turn}>
      <div className={styles.left}>
        <Drawing
          title={props.title}
          picture={props.picture}
          page={props.page}
          callouts={callouts}
          nameOf={nameOf}
          glimpses={glimpses}
          selected={selected}
          bring={bring}
          onSelect={fromDrawing}
        />
        <FigureBar {...props.bar} selected={selected} />
        {chosen[0] ? <AtThumb line={chosen[0]} more={chosen.length - 1} /> : null}
      </div>
      <div className={styles.side}>
        <section id="chosen-part" className={styles.card} aria-label="Chosen part" aria-live="polite">
          {selected === null ? (
            <p className="soft">Tap a number on the drawing, or a line of the list.</p>
          ) : chosen.length === 0 ? (
            <p>
              <span className="callout">{selected}</span> is on the drawing, but not in the list for this machine.
            </p>
          ) : (
            chosen.map((line) => <ChosenPart key={line.lineId} line={line} {...props} />)
          )}
        </section>
        <table className={`parts ${styles.list}`}>
          <caption className="visually-hidden">Parts list</caption>
          <thead>
            <tr>
              <th scope="col">Item</th>
              <th scope="col">Part</th>
              <th scope="col" className="right">
                Qty
              </th>
              <th scope="col">Shelf</th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <tr
                key={line.lineId}
                className={line.item === selected ? 'chosen' : undefined}
                aria-current={line.item === selected || undefined}
              >
                <td>
                  <button
                    type="button"
                    className={styles.item}
                    aria-pressed={line.item === selected}
                    aria-label={`Item ${line.item}, show on the drawing`}
                    onClick={() => fromList(line.item)}
                  >
                    {line.item}
                  </button>
                </td>
                <td>
                  <IndentDots indenture={line.indenture} />
                  {line.description}
                  <br />
                  <Link href={figurePaths.part(line.partId)} className="number" prefetch={false}>
                    {line.partNumber}
                  </Link>
                  {line.notes.length > 0 ? <span className="small soft"> {line.notes.join('; ')}</span> : null}
                  {props.targeted.includes(line.lineId) ? <span className="badge"> on this job</span> : null}
                  {line.fittedRow}
                </td>
                <td className="right">{line.quantitySays}</td>
                <td className="small">
                  <span aria-hidden="true">{line.stockShape}</span> {line.stockWords}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}

/** On a phone the card lies below the fold: what was tapped answers at the thumb, and leads there. */
function AtThumb({ line, more }: { line: DeskLine; more: number }) {
  return (
    <a className={styles.atThumb} href="#chosen-part">
      <span className="callout">{line.item}</span>
      <span>
        <span className="strong">{line.description}</span>
        {more > 0 ? <span className="soft"> and {more} more</span> : null}
        <br />
        <span className="small">
          <span aria-hidden="true">{line.stockShape}</span> {[line.stockWords, ...line.bins.slice(0, 1)].join(', ')}
        </span>
      </span>
      <span className="button primary">Open</span>
    </a>
  )
}

function ChosenPart({ line, ...props }: { line: DeskLine } & DeskProps) {
  return (
    <div className="stack tight">
      <div className="row">
        <span className="callout">{line.item}</span>
        <h2>{line.description}</h2>
      </div>
      <p>
        <Link href={figurePaths.part(line.partId)} prefetch={false} className="number">
          {line.partNumber}
        </Link>{' '}
        <span className="soft">part card</span>
      </p>
      <p>
        <span aria-hidden="true">{line.stockShape}</span> {line.stockWords}
        {line.bins.length > 0 ? <span className="soft"> - {line.bins.join('; ')}</span> : null}
      </p>
      {line.notes.length > 0 ? <p className="small">{line.notes.join('; ')}</p> : null}
      {line.fittedCard}
      {props.job ? (
        props.targeted.includes(line.lineId) ? (
          <p>
            On job {props.job.number}. <Link href={figurePaths.jobNeeded(props.job.id)}>See what else it needs</Link>
          </p>
        ) : (
          <Suspense fallback={<p className="soft">One moment</p>}>
            <RenewForm
              key={line.lineId}
              line={line}
              job={props.job}
              figureId={props.figureId}
              positions={props.positions}
              meant={props.meant}
              formKey={props.formKey}
            />
          </Suspense>
        )
      ) : props.mayOpenJob ? (
        <p>
          <Link
            className="button primary"
            prefetch={false}
            href={figurePaths.jobNew({
              machine: props.machineId ?? undefined,
              model: props.modelId,
              figure: props.figureId,
              line: line.lineId,
              side: props.side,
            })}
          >
            Log a repair with this part
          </Link>
        </p>
      ) : null}
    </div>
  )
}
