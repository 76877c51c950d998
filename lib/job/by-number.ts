const KEY = /^by-hand:(\d+)$/

/** Key of a part that is on a job by its number, not by the drawing. */
export function byNumberKey(partId: number): string {
  return `by-hand:${partId}`
}

/** The part that was added; null when the key is of anything else (a target, a suggestion, a kit, an alternative). */
export function byNumberPart(key: string): number | null {
  const match = KEY.exec(key)
  return match ? Number(match[1]) : null
}
