import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  addressTriesAfterWrong,
  addressWaitSeconds,
  NAME_WAIT_MAX_SECONDS,
  nameTriesAfterWrong,
  nameWaitSeconds,
  type Tries,
  triesForgottenBefore,
} from '../../lib/people/throttle.ts'

const START = new Date('2026-11-02T08:00:00Z')
const later = (seconds: number, from = START) => new Date(from.getTime() + seconds * 1000)

/** So many wrong tries for one name, each as soon as it is let through; answers the waits between them. */
function wrongTries(count: number): { tries: Tries | null; waits: number[]; now: Date } {
  let tries: Tries | null = null
  let now = START
  const waits: number[] = []
  for (let at = 0; at < count; at++) {
    tries = nameTriesAfterWrong(tries, now)
    const wait = nameWaitSeconds(tries, now)
    waits.push(wait)
    now = later(wait, now)
  }
  return { tries, waits, now }
}

test('four wrong tries cost nothing, the fifth five seconds, and each further one twice as much up to a quarter of an hour', () => {
  expect(wrongTries(15).waits).toEqual([0, 0, 0, 0, 5, 10, 20, 40, 80, 160, 320, 640, 900, 900, 900])
})

test('the wait runs out', () => {
  const tries = { tries: 7, firstAt: START, lastAt: START }
  expect(nameWaitSeconds(tries, later(19.5))).toBe(1)
  expect(nameWaitSeconds(tries, later(20))).toBe(0)
})

test('one wrong try is forgotten for each half hour of quiet', () => {
  const tries = { tries: 6, firstAt: START, lastAt: START }
  expect(nameTriesAfterWrong(tries, later(1799)).tries).toBe(7)
  expect(nameTriesAfterWrong(tries, later(1800)).tries).toBe(6)
  expect(nameTriesAfterWrong(tries, later(6 * 1800))).toEqual({ tries: 1, firstAt: later(10800), lastAt: later(10800) })
})

test('guessing one name without pause yields fewer than 120 tries a day, of 10,000 PINs', () => {
  let tries: Tries | null = null
  let now = START
  let count = 0
  while (now < later(24 * 3600)) {
    tries = nameTriesAfterWrong(tries, now)
    count += 1
    // One second at the least: the tenth of a second a try takes, rounded up.
    now = later(Math.max(1, nameWaitSeconds(tries, now)), now)
  }
  expect(count).toBeLessThan(120)
})

const someTries = fc
  .record({ tries: fc.integer({ min: 1, max: 40 }), quiet: fc.integer({ min: 0, max: 100_000 }) })
  .map(({ tries, quiet }) => ({ row: { tries, firstAt: START, lastAt: START }, now: later(quiet) }))

test('a wait is never below zero nor above a quarter of an hour', () => {
  fc.assert(
    fc.property(someTries, ({ row, now }) => {
      for (const wait of [nameWaitSeconds(row, now), addressWaitSeconds(row, now)]) {
        expect(wait).toBeGreaterThanOrEqual(0)
        expect(wait).toBeLessThanOrEqual(NAME_WAIT_MAX_SECONDS)
      }
    }),
  )
})

test('waiting never makes a wait longer, and another wrong try never shorter', () => {
  fc.assert(
    fc.property(someTries, fc.integer({ min: 0, max: 5000 }), ({ row, now }, more) => {
      expect(nameWaitSeconds(row, later(more, now))).toBeLessThanOrEqual(nameWaitSeconds(row, now))
      expect(nameWaitSeconds({ ...row, tries: row.tries + 1 }, now)).toBeGreaterThanOrEqual(nameWaitSeconds(row, now))
    }),
  )
})

test('whoever waits as long as told is let through', () => {
  fc.assert(
    fc.property(someTries, ({ row, now }) => {
      expect(nameWaitSeconds(row, later(nameWaitSeconds(row, now), now))).toBe(0)
      expect(addressWaitSeconds(row, later(addressWaitSeconds(row, now), now))).toBe(0)
    }),
  )
})

test('a clock set back does not lengthen a wait', () => {
  fc.assert(
    fc.property(someTries, fc.integer({ min: 1, max: 10 ** 7 }), ({ row }, back) => {
      expect(nameWaitSeconds(row, later(-back))).toBe(nameWaitSeconds(row, START))
    }),
  )
})

test('an address has thirty wrong tries in a quarter of an hour; the thirty-first must wait for its end', () => {
  let tries: Tries | null = null
  for (let at = 0; at < 29; at++) tries = addressTriesAfterWrong(tries, later(at))
  expect(addressWaitSeconds(tries, later(29))).toBe(0)
  tries = addressTriesAfterWrong(tries, later(29))
  expect(addressWaitSeconds(tries, later(30))).toBe(870)
  expect(addressWaitSeconds(tries, later(900))).toBe(0)
  expect(addressTriesAfterWrong(tries, later(900)).tries).toBe(1)
})

test('a row that is swept away counted for nothing', () => {
  fc.assert(
    fc.property(someTries, ({ row, now }) => {
      const capped = { ...row, tries: Math.min(row.tries, nameTriesAfterWrong(row, START).tries) }
      if (capped.lastAt >= triesForgottenBefore(now)) return
      expect(nameTriesAfterWrong(capped, now).tries).toBe(1)
      expect(addressTriesAfterWrong(capped, now).tries).toBe(1)
    }),
  )
})
