import { balloonAround } from './balloons.ts'
import { leadersOfBare } from './bare.ts'
import { type Blobs, blobsOf } from './blobs.ts'
import { type InkPage, inkOf, LEAN, percentile } from './ink.ts'
import { leadersOfBalloon } from './leaders.ts'
import { type NumberSpot, numberSpots } from './numbers.ts'
import { ringsErased, ringsSearched } from './ring-search.ts'
import { pageScaled } from './scale.ts'
import type { CropText, Doubt, GreyPage, PageBox, ReadCallout, Recogniser, TextRun } from './schema.ts'
import { blobsOffShelves } from './shelf-part.ts'
import {
  type Candidate,
  itemMeant,
  itemsLack,
  pointsPutBack,
  RINGS_SETTLE,
  ringsOfOneSize,
  typeOfOneHeight,
  withoutScraps,
} from './sift.ts'
import { linesOnSolids } from './solids.ts'
import { pageDusted } from './speckle.ts'

export interface DrawingHints {
  /** Items of the parts list on the same page: they settle a doubtful reading, they never make a callout. */
  items?: readonly string[]
}

type Unread = Omit<Candidate, 'text' | 'confidence'>
const NOTHING = { text: '', confidence: 0 }

/** Below this a reading is shown to be looked at first. */
const SURE = 0.75

/**
 * Callouts of a drawing: numbers in rings, or bare numbers with a leader line, and where their leader lines end.
 * `region`: the boxes of the page that are drawing, none for the whole page; the rest of the page may be in view. `runs`: text
 * a vector page carries, which is then not recognised. Coordinates are pixels of the page handed in.
 */
export async function calloutsRead(
  original: GreyPage,
  runs: readonly TextRun[],
  region: readonly PageBox[],
  recognise: Recogniser,
  hints: DrawingHints = {},
): Promise<{ callouts: ReadCallout[] }> {
  const { page, scale } = pageScaled(pageDusted(original))
  const ink = inkOf(page)
  const blobs = blobsOf(ink)
  const lines = linesOnSolids(page, ink)
  const within = region.map((box) => box.map((side) => side * scale) as PageBox)
  const inRegion = (box: PageBox) => within.length === 0 || within.some((area) => holds(area, box))
  const spots = numberSpots(blobs, ink.width).filter(({ box }) => inRegion(box))
  const items = new Set(hints.items ?? [])
  // Several looks find much the same numbers: what stands in a box of the page is read once.
  const known = new Map<string, CropText>()
  const texted = async (boxes: readonly PageBox[]): Promise<CropText[]> => {
    const fresh = boxes.filter((box) => !known.has(box.join()))
    const crops = fresh.map((box) => ({ box, kind: 'item' as const }))
    const read = crops.length > 0 ? await recognise(page, crops) : []
    for (const [at, box] of fresh.entries()) known.set(box.join(), read[at]!)
    return boxes.map((box) => known.get(box.join())!)
  }
  const named = async (found: readonly Unread[], from?: GreyPage): Promise<Candidate[]> => {
    const printed = found.map(({ spot }) => textPrinted(runs, spot.box, scale))
    const open = found.filter((_, at) => printed[at] === null)
    const boxes = open.map(({ spot }) => spot.box)
    const read = await (from
      ? recognise(
          from,
          boxes.map((box) => ({ box, kind: 'item' as const })),
        )
      : texted(boxes))
    return found.map((one, at) => {
      const text = printed[at]
      return { ...one, ...(text ? { text, confidence: 1 } : itemMeant(read[open.indexOf(one)] ?? NOTHING, items)) }
    })
  }
  const rings = spots.flatMap((spot): Unread[] => {
    const balloon = balloonAround(spot, blobs, ink.width)
    return balloon ? [{ spot, balloon, leaders: leadersOfBalloon(lines, balloon) }] : []
  })
  let kept = ringsOfOneSize(await named(rings), items)
  if (kept.length < RINGS_SETTLE) {
    const ringed = new Set(rings.map(({ spot }) => spot))
    const bareIn = async (from: readonly NumberSpot[], pieces: Blobs) => {
      const bare = from.flatMap((spot): Unread[] => {
        if (spot.inText || (spot.crowded && items.size === 0) || ringed.has(spot)) return []
        const leaders = leadersOfBare(lines, pieces, spot)
        return leaders.length > 0 ? [{ spot, balloon: null, leaders }] : []
      })
      const read = (await named(bare)).filter(({ spot, text }) => !spot.crowded || items.has(text))
      return typeOfOneHeight(read, items)
    }
    let typed = await bareIn(spots, blobs)
    // On a worn copy numbers run into each other, their leader or its level end: other looks part them, each for what the last left.
    const looks = [
      (lean: InkPage) => blobsOf(lean),
      (lean: InkPage) => blobsOffShelves(lean),
      () => blobsOffShelves(ink),
    ]
    let lean: InkPage | null = null
    for (const look of looks) {
      const few = Math.max(typed.length, kept.length) < RINGS_SETTLE
      if (!few && !itemsLack(typed, items)) break
      lean ??= inkOf(page, LEAN)
      const pieces = look(lean)
      const found = numberSpots(pieces, ink.width).filter(({ box }) => inRegion(box))
      const more = withoutScraps(typed, await bareIn(found, pieces), items)
      if (!few && more.length <= typed.length) break
      typed = more
    }
    if (typed.length > kept.length) kept = typed
  } else {
    // Rings of the same size may hold numbers that touch them; an unread ring found twice is one of those already kept.
    const radius = percentile(
      kept.map(({ balloon }) => balloon!.radius),
      0.5,
    )
    const searched = ringsSearched(
      ink,
      radius,
      kept.map(({ balloon }) => balloon!),
    ).filter(({ spot }) => inRegion(spot.box))
    const more = searched.map((ring): Unread => ({ ...ring, leaders: leadersOfBalloon(lines, ring.balloon) }))
    const led = more.filter(({ leaders }) => leaders.length > 0)
    if (led.length > 0) {
      const from = ringsErased(
        page,
        led.map(({ balloon }) => balloon!),
      )
      kept = ringsOfOneSize([...kept, ...(await named(led, from))], items)
    }
  }
  kept = pointsPutBack(kept, items)
  const callouts = kept.map(({ text, confidence, spot, leaders }): ReadCallout => {
    const x = (spot.box[0] + spot.box[2]) / 2 / scale
    const y = (spot.box[1] + spot.box[3]) / 2 / scale
    const tips = leaders.slice(0, 40).map(({ tipX, tipY }) => ({ x: tipX / scale, y: tipY / scale }))
    const doubts: Doubt[] = []
    if (confidence < SURE) doubts.push('hard-to-read')
    if (items.size > 0 && !items.has(text)) doubts.push('no-row')
    if (kept.filter((other) => other.text === text).length > 1) doubts.push('more-than-once')
    if (tips.length === 0) doubts.push('no-leader')
    return { item: text, x, y, tipX: tips[0]?.x ?? x, tipY: tips[0]?.y ?? y, tips, confidence, doubts }
  })
  return { callouts }
}

function holds(area: PageBox, box: PageBox): boolean {
  const [x, y] = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2]
  return x >= area[0] && x <= area[2] && y >= area[1] && y <= area[3]
}

/** What the page itself says stands in a box (scaled), or null when it carries no text there. */
function textPrinted(runs: readonly TextRun[], box: PageBox, scale: number): string | null {
  const air = (box[3] - box[1]) * 0.3
  const wide: PageBox = [box[0] - air, box[1] - air, box[2] + air, box[3] + air]
  const inside = runs.filter((run) => holds(wide, run.box.map((side) => side * scale) as PageBox))
  if (inside.length === 0) return null
  inside.sort((a, b) => a.box[0] - b.box[0])
  return inside
    .map(({ text }) => text)
    .join('')
    .replace(/\s+/g, '')
    .replace(/\.$/, '')
}
