import { OTHER_END } from '../companion/draft.ts'
import { isShaftEnd } from '../figure/shaft-end.ts'
import type { PairOpened } from './step-plan.ts'

interface AgreedNeed {
  key: string
  origin: string
  state: string
  item: string | null
  positions: string
}

interface AgreedFigure {
  id: number
  positions: readonly { code: string }[]
}

/**
 * Sides and ends that are taken apart as well, by figure, and which parts are opened there: whoever agrees to a part of the other
 * side, or of the other end of the shaft, says so. A precaution names both sides either way and says nothing.
 */
export function agreedElsewhere(
  needs: readonly AgreedNeed[],
  figures: readonly AgreedFigure[],
): { alsoStripped: Map<number, string[]>; pairsOpened: Map<number, PairOpened[]> } {
  const alsoStripped = new Map<number, string[]>()
  const pairsOpened = new Map<number, PairOpened[]>()
  for (const { key, origin, state, item, positions } of needs) {
    const isAgreed = state === 'accepted' || state === 'in-kit'
    if (!isAgreed || origin !== 'suggestion' || !key.endsWith('+other')) continue
    const figureId = Number(key.split(':')[0])
    const figure = figures.find((one) => one.id === figureId)
    const isSide = (code: string) => figure?.positions.some((position) => position.code === code) ?? false
    const isElsewhere = key.includes(OTHER_END) ? (code: string) => isShaftEnd(code) && !isSide(code) : isSide
    const codes = (JSON.parse(positions) as string[]).filter(isElsewhere)
    alsoStripped.set(figureId, [...(alsoStripped.get(figureId) ?? []), ...codes])
    const pairs = item === null ? [] : codes.map((side) => ({ item, side }))
    pairsOpened.set(figureId, [...(pairsOpened.get(figureId) ?? []), ...pairs])
  }
  return { alsoStripped, pairsOpened }
}
