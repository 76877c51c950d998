import { type Balloon, balloonAround } from './balloons.ts'
import { type Blobs, blobsOf } from './blobs.ts'
import { inkOf } from './ink.ts'
import { type Leader, leadersOfBalloon } from './leaders.ts'
import { type NumberSpot, numberSpots } from './numbers.ts'
import { pageScaled } from './scale.ts'
import type { GreyPage, PageBox, ReadCallout, Recogniser, TextRun } from './schema.ts'
import { pageDusted } from './speckle.ts'

export interface DrawingHints {
  /** Items of the parts list on the same page: they settle a doubtful reading, they never make a callout. */
  items?: readonly string[]
}

const ITEM = /^[A-Z]?[1-9]\d{0,2}(?:\.\d{1,2})?[A-Z]?$/

export async function calloutsRead(
  original: GreyPage,
  _runs: readonly TextRun[],
  region: readonly PageBox[],
  recognise: Recogniser,
  _hints: DrawingHints = {},
): Promise<{ callouts: ReadCallout[] }> {
  const { page, scale } = pageScaled(pageDusted(original))
  const ink = inkOf(page)
  const blobs = blobsOf(ink)
  const spots = numberSpots(blobs)
  const found: { spot: NumberSpot; balloon: Balloon; leaders: Leader[] }[] = []
  for (const spot of spots) {
    const balloon = balloonAround(spot, blobs, ink.width)
    if (balloon) found.push({ spot, balloon, leaders: leadersOfBalloon(ink, balloon) })
  }
  const texts = await recognise(page, found.map(({ spot }) => ({ box: spot.box, kind: 'item' as const })))
  const callouts = found.flatMap(({ balloon, leaders, spot }, at): ReadCallout[] => {
    const { text, confidence } = texts[at]!
    if (!ITEM.test(text)) return []
    const x = (spot.box[0] + spot.box[2]) / 2 / scale
    const y = (spot.box[1] + spot.box[3]) / 2 / scale
    if (region.length > 0 && !region.some((b) => x >= b[0] && x <= b[2] && y >= b[1] && y <= b[3])) return []
    const tips = leaders.map((leader) => ({ x: leader.tipX / scale, y: leader.tipY / scale }))
    return [{ item: text, x, y, tipX: tips[0]?.x ?? x, tipY: tips[0]?.y ?? y, tips, confidence, doubts: balloon.seen < 0.6 ? ['hard-to-read'] : [] }]
  })
  return { callouts }
}
export type { Blobs }
