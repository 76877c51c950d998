'use client'

import {
  type CSSProperties,
  type KeyboardEvent,
  lazy,
  Suspense,
  useCallback,
  useEffect,
  useMemo,
  useRef,
  useState,
} from 'react'
import { figurePaths } from '@/app/figure-paths.ts'
import {
  APART_PIXELS,
  type Callout,
  calloutAt,
  calloutMiddle,
  calloutOpening,
  calloutRooms,
  calloutSpan,
  calloutTyped,
} from '@/lib/figure/callout.ts'
import { TILED_FROM_PIXELS } from '@/lib/geometry/tile.ts'
import {
  type Point,
  type Size,
  type Span,
  type View,
  viewIsWhole,
  viewShows,
  viewToPage,
  viewToScreen,
} from '@/lib/geometry/view.ts'
import styles from './figure.module.css'
import { Pointer } from './pointer.tsx'
import { type Glimpse, Preview } from './preview.tsx'
import type { TilesHandle } from './tiles.tsx'
import { useGestures } from './use-gestures.ts'
import { readingScale, useView } from './use-view.ts'

// Few drawings are scans large enough to be cut into tiles: the others do not load what shows them.
const Tiles = lazy(() => import('./tiles.tsx'))

const STEP = 60
const FINGER = 28
const MOUSE = 15
const TYPING_PAUSE_MS = 900
/** Numbers closer together than this on the screen show the print instead of a button. */
const CROWDED_PIXELS = 20

export interface DrawingProps {
  title: string
  picture: { id: string; extension: string } & Size
  page: Size
  callouts: Callout[]
  /** What a callout is, for ears: "7, flail knife, 12 on shelf". */
  nameOf: Record<string, string>
  /** What a callout is, at a glance. */
  glimpses: Record<string, Glimpse>
  selected: string | null
  /** Grows with every choice made outside the drawing: the drawing then brings the callout into view. */
  bring: number
  /** What stands beside a number: its place in the strip order. */
  places?: Record<string, string>
  /** `typed` when its number was typed: it is looked for, not pressed. */
  onSelect: (item: string, typed?: boolean) => void
}

export function Drawing(props: DrawingProps) {
  const { page, callouts, selected, picture, onSelect } = props
  const rooms = useMemo(() => calloutRooms(callouts), [callouts])
  const reading = useMemo(() => calloutOpening(callouts, page), [callouts, page])
  // A link to a callout opens with it in the middle; later choices move the drawing themselves.
  const [opening] = useState(() => {
    const callout = callouts.find((one) => one.item === selected)
    return { ...reading, ...(callout ? { at: calloutMiddle(callout) } : {}), all: calloutSpan(callouts) }
  })
  const tiles = useRef<TilesHandle>(null)
  const moved = useCallback((view: View, window: Size) => tiles.current?.follow(view, window), [])
  const glass = useView(page, opening, moved)
  const { rest } = glass
  const [glimpsed, setGlimpsed] = useState<string | null>(null)
  const typed = useRef({ text: '', at: 0 })
  /** A number that was typed and is not on the drawing. */
  const [nowhere, setNowhere] = useState<string | null>(null)
  const tiled = picture.extension !== 'svg' && Math.max(picture.width, picture.height) > TILED_FROM_PIXELS
  const source = tiled ? figurePaths.pictureTile(picture, { level: 0, x: 0, y: 0 }) : figurePaths.picture(picture)
  const scale = rest?.scale ?? reading.scale * APART_PIXELS.thumb
  const whole = rest !== null && viewIsWhole(rest, page, glass.window())
  // Numbers that stand far enough apart on the whole drawing need no second view.
  const opensWhole = rest !== null && glass.opensWhole()

  // A choice in the list brings its number near the middle, large enough to read.
  const { bring, frame } = glass
  useEffect(() => {
    const callout = props.bring === 0 ? undefined : callouts.find((one) => one.item === selected)
    if (!callout) return
    bring(calloutMiddle(callout), readingScale(reading))
    // Where the list stands under the drawing, the drawing may be out of sight.
    frame.current?.scrollIntoView({ block: 'nearest' })
  }, [props.bring, selected, callouts, bring, frame, reading])

  /** About the chosen number while it is in sight, so that it stays there. */
  const zoom = (factor: number) => {
    const view = glass.now()
    const callout = callouts.find((one) => one.item === selected)
    const isShown = view && callout && viewShows(view, callout, glass.window(), 0)
    glass.zoom(factor, isShown ? viewToScreen(view, callout) : undefined)
  }

  const near = (at: Point, margin: number) => {
    const view = glass.now()
    return view && calloutAt(callouts, viewToPage(view, at), margin / view.scale)
  }
  const gestures = useGestures(glass, {
    tap: (at) => {
      const item = near(at, FINGER)?.item ?? null
      setGlimpsed(item)
      if (item !== null) onSelect(item)
    },
    hover: (at) => setGlimpsed(at === null ? null : (near(at, MOUSE)?.item ?? null)),
    dragging: () => setGlimpsed(null),
  })

  /** Reached by Tab, a number may lie outside the window. */
  function focused(callout: Callout) {
    setGlimpsed(callout.item)
    const view = glass.now()
    if (view && !viewShows(view, callout, glass.window(), 12)) glass.bring(callout, 0)
  }

  function key(event: KeyboardEvent<HTMLDivElement>) {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const pan: Record<string, [number, number]> = {
      ArrowLeft: [STEP, 0],
      ArrowRight: [-STEP, 0],
      ArrowUp: [0, STEP],
      ArrowDown: [0, -STEP],
    }
    const by = pan[event.key]
    const typing = event.timeStamp - typed.current.at < TYPING_PAUSE_MS && typed.current.text !== ''
    const zero = event.key === '0' && !typing && !callouts.some((callout) => callout.item.startsWith('0'))
    if (by) glass.pan(by[0], by[1])
    else if (event.key === '+' || event.key === '=') zoom(1.4)
    else if (event.key === '-') zoom(1 / 1.4)
    else if (event.key === 'Home' || zero) glass.whole()
    else if (event.key === 'Escape' && glimpsed !== null) setGlimpsed(null)
    else if (/^[0-9]$/.test(event.key) || (typing && /^[a-z]$/i.test(event.key))) jump(event.key, event.timeStamp)
    else if (event.key.toLowerCase() === 'f') glass.whole()
    else return
    event.preventDefault()
  }

  function jump(character: string, at: number) {
    const text = at - typed.current.at < TYPING_PAUSE_MS ? typed.current.text + character : character
    const items = callouts.map((callout) => callout.item)
    const found = calloutTyped(items, text)
    typed.current = { text, at }
    const { item } = found
    setNowhere(item === null && !found.more ? text : null)
    const callout = callouts.find((one) => one.item === item)
    if (!callout) return
    onSelect(callout.item, true)
    setGlimpsed(callout.item)
    const view = glass.now()
    if (view && (!viewShows(view, callout, glass.window(), 20) || view.scale < readingScale(reading) * 0.99))
      glass.bring(calloutMiddle(callout), readingScale(reading))
    glass.frame.current
      ?.querySelector<HTMLButtonElement>(`button[data-item="${CSS.escape(callout.item)}"]`)
      ?.focus({ preventScroll: true })
  }

  const glimpse = glimpsed === null ? undefined : callouts.find((one) => one.item === glimpsed)
  return (
    <div
      className={styles.drawing}
      style={
        {
          '--w': page.width,
          '--h': page.height,
          '--reading': `${opening.scale}px`,
          '--at-x': opening.at.x,
          '--at-y': opening.at.y,
          ...(opening.all ? openingSpan(opening.all) : {}),
        } as CSSProperties
      }
    >
      <div
        ref={glass.frame}
        className={styles.frame}
        role="group"
        aria-roledescription="drawing"
        aria-label={`${props.title}. Plus and minus zoom, arrows move, 0 shows all, other digits jump to a callout.`}
        tabIndex={0}
        style={{ touchAction: rest && page.height * rest.scale <= glass.window().height + 1 ? 'pan-y' : undefined }}
        onKeyDown={key}
        {...gestures}
      >
        <div className={styles.ground}>
          <div ref={glass.sheet} className={styles.sheet}>
            <img src={source} alt="" draggable={false} className={styles.picture} />
            {tiled ? (
              <Suspense>
                <Tiles picture={picture} page={page} handle={tiles} ready={glass.settle} />
              </Suspense>
            ) : null}
          </div>
        </div>
        <div ref={glass.marks} className={styles.marks}>
          {selected === null ? null : (
            <Pointer page={page} callouts={callouts.filter((one) => one.item === selected)} scale={scale} />
          )}
          {callouts.map((callout, at) => (
            <button
              // An item may be printed more than once.
              key={`${callout.item} ${callout.x} ${callout.y}`}
              type="button"
              data-item={callout.item}
              data-place={props.places?.[callout.item]}
              className={`${styles.callout} ${rooms[at]! * scale < CROWDED_PIXELS ? styles.crowded : ''}`}
              style={
                {
                  left: `${(callout.x / page.width) * 100}%`,
                  top: `${(callout.y / page.height) * 100}%`,
                  '--room': Math.min(rooms[at]!, 1e6),
                } as CSSProperties
              }
              aria-pressed={callout.item === selected}
              aria-label={props.nameOf[callout.item] ?? callout.item}
              onClick={() => {
                setGlimpsed(callout.item)
                onSelect(callout.item)
              }}
              onFocus={() => focused(callout)}
              onBlur={() => setGlimpsed(null)}
            >
              <span>{callout.item}</span>
            </button>
          ))}
        </div>
        {glimpse && rest && glimpse.item !== selected ? (
          <Preview
            glimpse={props.glimpses[glimpse.item] ?? { item: glimpse.item, says: 'not in the list for this machine' }}
            at={glimpse}
            view={rest}
            window={glass.window()}
          />
        ) : null}
      </div>
      <p className={styles.nowhere} role="status">
        {nowhere === null ? '' : `No number ${nowhere} on this drawing.`}
      </p>
      <div className={styles.controls}>
        {whole ? (
          opensWhole ? null : (
            <button type="button" className="button" onClick={glass.reading}>
              Read numbers
            </button>
          )
        ) : (
          <button type="button" className={`button ${styles.whole}`} onClick={glass.whole}>
            <span className={styles.map} style={{ aspectRatio: `${page.width} / ${page.height}` }} aria-hidden="true">
              <img src={source} alt="" draggable={false} />
              <span ref={glass.whereabouts} className={styles.whereabouts} />
            </span>
            <span>
              Whole<span className={styles.besideTitle}> drawing</span>
            </span>
          </button>
        )}
        <button type="button" className={`button ${styles.out}`} onClick={() => zoom(1 / 1.5)} aria-label="Zoom out">
          −
        </button>
        <button type="button" className="button" onClick={() => zoom(1.5)} aria-label="Zoom in">
          +
        </button>
      </div>
    </div>
  )
}

/** What must be in sight when the drawing opens, for the style sheet. */
function openingSpan({ left, top, right, bottom }: Span): Record<string, number> {
  return {
    '--all-left': left,
    '--all-top': top,
    '--all-right': right,
    '--all-bottom': bottom,
    '--all-wide': Math.max(1, right - left),
    '--all-high': Math.max(1, bottom - top),
  }
}
