/**
 * Slows down guessing. A PIN of four digits has ten thousand values: what protects it is that nobody may try many.
 * Arithmetic on one row of wrong tries; the rows and their transactions are in lib/db/session.ts.
 * Numbers: common practice, no source.
 */
export interface Tries {
  tries: number
  firstAt: Date
  lastAt: Date
}

/** Wrong tries for one name before the first wait. */
export const NAME_TRIES_FREE = 5
const NAME_WAIT_FIRST_SECONDS = 5
export const NAME_WAIT_MAX_SECONDS = 15 * 60
/** One wrong try for a name is forgotten after so long without another; longer than any wait. */
const NAME_FADE_SECONDS = 30 * 60
/** More are not counted: the wait is at its longest well before, and all of them fade within eight hours. */
const NAME_TRIES_MAX = 16

/** One address may stand for everybody in the workshop, so it gets more. */
export const ADDRESS_TRIES_FREE = 30
export const ADDRESS_WINDOW_SECONDS = 15 * 60

/** A clock set back must not lengthen a wait. */
function secondsSince(then: Date, now: Date): number {
  return Math.max(0, (now.getTime() - then.getTime()) / 1000)
}

/** Tries that still count: one less for every half hour of quiet. */
function nameTriesLeft(tries: Tries, now: Date): number {
  return Math.max(0, tries.tries - Math.floor(secondsSince(tries.lastAt, now) / NAME_FADE_SECONDS))
}

/** Whole seconds until the name may be tried again; 0 when at once. After the 5th wrong try 5 s, then 10, 20 ... 900. */
export function nameWaitSeconds(tries: Tries | null, now: Date): number {
  if (!tries || tries.tries < NAME_TRIES_FREE) return 0
  const wait = Math.min(NAME_WAIT_FIRST_SECONDS * 2 ** (tries.tries - NAME_TRIES_FREE), NAME_WAIT_MAX_SECONDS)
  return Math.max(0, Math.ceil(wait - secondsSince(tries.lastAt, now)))
}

export function nameTriesAfterWrong(tries: Tries | null, now: Date): Tries {
  const before = tries ? nameTriesLeft(tries, now) : 0
  return {
    tries: Math.min(before + 1, NAME_TRIES_MAX),
    firstAt: tries && before > 0 ? tries.firstAt : now,
    lastAt: now,
  }
}

/** Whole seconds until the address may try again: after 30 wrong tries, the rest of their quarter of an hour. */
export function addressWaitSeconds(tries: Tries | null, now: Date): number {
  if (!tries || tries.tries < ADDRESS_TRIES_FREE) return 0
  return Math.max(0, Math.ceil(ADDRESS_WINDOW_SECONDS - secondsSince(tries.firstAt, now)))
}

export function addressTriesAfterWrong(tries: Tries | null, now: Date): Tries {
  if (!tries || secondsSince(tries.firstAt, now) >= ADDRESS_WINDOW_SECONDS)
    return { tries: 1, firstAt: now, lastAt: now }
  return { tries: tries.tries + 1, firstAt: tries.firstAt, lastAt: now }
}

/** Rows whose last wrong try is older than this count for nothing. */
export function triesForgottenBefore(now: Date): Date {
  return new Date(now.getTime() - NAME_TRIES_MAX * NAME_FADE_SECONDS * 1000)
}
