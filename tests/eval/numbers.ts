import {
  arrowInk,
  type Box,
  boxAround,
  centredInk,
  dotInk,
  FAMILIES,
  type Family,
  ovalInk,
  pathInk,
  textWidth,
} from './svg-ink.ts'
import type { Spot, TrueCallout } from './truth.ts'

/** How a book prints its callouts. */
export interface NumberStyle {
  frame: 'bare' | 'circle' | 'shelf'
  /** How leader lines end on the part. */
  end: 'dot' | 'arrow' | 'plain'
  family: Family
  size: number
  weight: number
}

/** Half the width and height a number takes, its frame included. */
export function numberHalf(item: string, style: NumberStyle): { wide: number; high: number } {
  const wide = textWidth(item, style.family, style.size) / 2
  if (style.frame === 'circle') {
    const radius = circleRadius(style)
    return { wide: radius, high: radius }
  }
  return { wide: wide + 3, high: style.size * (style.frame === 'shelf' ? 0.55 : 0.42) }
}

/** One radius for a whole page, wide enough for three signs that keep off the ring. */
const circleRadius = (style: NumberStyle): number =>
  Math.max(style.size * 0.95, textWidth('000', style.family, style.size) * 0.6 + style.size * 0.14)

export const numberBox = (callout: Pick<TrueCallout, 'item' | 'x' | 'y'>, style: NumberStyle): Box => {
  const { wide, high } = numberHalf(callout.item, style)
  return boxAround(callout, wide, high)
}

/** Where the leader leaves the number: on its frame, or short of the figures. */
export function leaderStart(callout: Spot & { item: string }, tip: Spot, style: NumberStyle): Spot {
  const [dx, dy] = [tip.x - callout.x, tip.y - callout.y]
  const half = numberHalf(callout.item, style)
  if (style.frame === 'shelf') {
    return { x: callout.x + Math.sign(dx || 1) * half.wide, y: callout.y + style.size * 0.55 }
  }
  const gap = style.frame === 'circle' ? 0 : 5
  const k = 1 / (Math.hypot(dx / (half.wide + gap), dy / (half.high + gap)) || 1)
  return { x: callout.x + dx * k, y: callout.y + dy * k }
}

/** Leaders, their ends and the number of one callout. A bend between number and tip makes a knee. */
export function calloutInk(callout: TrueCallout, style: NumberStyle, knees: readonly (Spot | null)[] = []): string {
  const ink = callout.tips.flatMap((tip, at) => {
    const knee = knees[at] ?? null
    const start = leaderStart(callout, knee ?? tip, style)
    const before = knee ?? start
    return [
      pathInk(knee ? [start, knee, tip] : [start, tip], 1.5),
      style.end === 'dot' ? dotInk(tip, 4) : style.end === 'arrow' ? arrowInk(before, tip, 15) : '',
    ]
  })
  const { wide } = numberHalf(callout.item, style)
  const shelf = callout.y + style.size * 0.55
  const frame =
    style.frame === 'circle'
      ? ovalInk(callout, circleRadius(style), circleRadius(style), 1.6)
      : style.frame === 'shelf'
        ? pathInk(
            [
              { x: callout.x - wide, y: shelf },
              { x: callout.x + wide, y: shelf },
            ],
            1.5,
          )
        : ''
  const number = centredInk(callout.item, callout, {
    family: FAMILIES[style.family],
    size: style.size,
    weight: style.weight,
  })
  return [...ink, frame, number].join('')
}

/** Numbers that would touch are moved apart the short way, as little as need be, and stay within their field. */
export function numbersApart<C extends TrueCallout>(callouts: readonly C[], style: NumberStyle, field: Box): C[] {
  const moved = callouts.map((callout) => ({ ...callout }))
  const gap = 5
  for (let round = 0; round < 80; round++) {
    let still = true
    for (let i = 0; i < moved.length; i++)
      for (let j = i + 1; j < moved.length; j++) {
        const [one, other] = [moved[i]!, moved[j]!]
        const [a, b] = [numberHalf(one.item, style), numberHalf(other.item, style)]
        const overX = a.wide + b.wide + gap - Math.abs(one.x - other.x)
        const overY = a.high + b.high + gap - Math.abs(one.y - other.y)
        if (overX <= 0 || overY <= 0) continue
        still = false
        const axis = overX <= overY ? 'x' : 'y'
        const push = (Math.min(overX, overY) / 2 + 0.5) * (one[axis] <= other[axis] ? 1 : -1)
        one[axis] -= push
        other[axis] += push
      }
    for (const one of moved) {
      const { wide, high } = numberHalf(one.item, style)
      one.x = Math.max(field.left + wide, Math.min(field.right - wide, one.x))
      one.y = Math.max(field.top + high, Math.min(field.bottom - high, one.y))
    }
    if (still) break
  }
  return moved
}
