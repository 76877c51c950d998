/**
 * How a step of the job card is named among those of its kind, so that its tick survives when another target is added:
 * `5:14` is item 14 of figure 5, `5:14~NDE` the same at the non-drive end, `5:14#stripFirst1` words around it, and `@LH` behind
 * any of them says at which side of the machine it is done. Items have none of these signs (lib/figure/schema.ts); a side's code may, so it comes last.
 */
export interface StepKey {
  figureId: number
  item: string
  /** End of the shaft; null where the part sits once, or nobody said which end. */
  end: string | null
  /** Words around the part, no part of the list itself: `stripFirst1`. */
  around: string | null
  /** Side of the machine; null where the assembly sits once. */
  side: string | null
}

/** Words that are done once for all sides in hand. */
export const ONCE = 'stripOnce'

export function stepIsShared(key: string): boolean {
  return stepKeyRead(key)?.around?.startsWith(ONCE) === true
}

export function stepKeySay({ figureId, item, end, around, side }: StepKey): string {
  return `${figureId}:${item}${end === null ? '' : `~${end}`}${around === null ? '' : `#${around}`}${side === null ? '' : `@${side}`}`
}

/** Reads a key of a strip or rebuild step; null for what is none, as a test's. Example: `5:12A#fitThen1@LH`. */
export function stepKeyRead(key: string): StepKey | null {
  const match = /^(\d+):([^#@:~]+)(?:~([A-Z]+))?(?:#([A-Za-z]+\d+))?(?:@(.+))?$/s.exec(key)
  if (!match) return null
  const [, figureId, item, end = null, around = null, side = null] = match
  return { figureId: Number(figureId), item: item!, end, around, side }
}

/** The key without its side: how steps were named before each side had its own. */
export function stepKeyBare(key: string): string {
  const read = stepKeyRead(key)
  return read === null ? key : stepKeySay({ ...read, side: null })
}

/** How much is left at each side, in words: "shared 0 of 1, LH 3 of 8, RH 8 of 8"; what sits once alone is "3 of 8". */
export function stepsLeftSay(steps: readonly { key: string; state: string }[]): string {
  const sides = new Map<string, { left: number; all: number }>()
  for (const { key, state } of steps) {
    const side = stepKeyRead(key)?.side ?? ''
    const count = sides.get(side) ?? { left: 0, all: 0 }
    sides.set(side, { left: count.left + (state === 'open' ? 1 : 0), all: count.all + 1 })
  }
  const named = (side: string) => (side !== '' ? `${side} ` : sides.size > 1 ? 'shared ' : '')
  return [...sides].map(([side, { left, all }]) => `${named(side)}${left} of ${all}`).join(', ')
}
