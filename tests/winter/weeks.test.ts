import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { weekdayOf } from '../../lib/buying/order-day.ts'
import { daysAdd, daysBetween } from '../../lib/service/plain-date.ts'
import {
  mondayOf,
  type SeasonWork,
  seasonIsNear,
  seasonName,
  seasonProposed,
  seasonWeeks,
} from '../../lib/winter/season.ts'
import { weeksPropose } from '../../lib/winter/weeks.ts'

const TODAY = '2026-11-28'
const day = fc.integer({ min: -20, max: 120 }).map((days) => daysAdd(TODAY, days))
const span = fc
  .tuple(day, fc.integer({ min: 0, max: 20 }))
  .map(([from, days]) => ({ from, until: daysAdd(from, days) }))
const work: fc.Arbitrary<SeasonWork> = fc.record({
  from: day,
  until: day.map((on) => daysAdd(on, 60)),
  workdays: fc.subarray([1, 2, 3, 4, 5, 6], { minLength: 1 }),
  shut: fc.array(span, { maxLength: 3 }),
  machinesAWeek: fc.integer({ min: 1, max: 3 }),
})
const machine = fc.record({
  dueOn: fc.option(day),
  partsFrom: fc.option(day),
  // Also weeks that are shut, outside of the season, or over.
  weekOn: fc.option(day.map(mondayOf), { freq: 3 }),
})
const machines = fc.array(machine, { maxLength: 40 }).map((all) => all.map((one, id) => ({ id, ...one })))

describe('the season', () => {
  // Worked example by the calendar (ISO 8601 week dates): 30 November 2026 is the Monday of week 49.
  it('begins on the next Monday and ends with February, leap years included', () => {
    expect(seasonProposed(TODAY)).toEqual({ from: '2026-11-30', until: '2027-02-28' })
    expect(seasonProposed('2027-07-15')).toEqual({ from: '2027-11-01', until: '2028-02-29' })
    expect(seasonProposed('2027-01-04')).toEqual({ from: '2027-01-04', until: '2027-02-28' })
    expect(seasonProposed(TODAY, [{ from: '2026-12-14', until: '2027-01-31' }]), 'this winter has a plan').toEqual({
      from: '2027-11-01',
      until: '2028-02-29',
    })
    expect(seasonProposed(TODAY, [{ from: '2025-12-01', until: '2026-02-28' }]).from).toBe('2026-11-30')
    expect(seasonProposed('2027-02-02')).toEqual({ from: '2027-11-01', until: '2028-02-29' })
    expect(seasonName({ from: '2026-11-30', until: '2027-02-28' })).toBe('Winter 2026/27')
  })

  it('is near two months before it begins, and no longer once it is over', () => {
    const season = { from: '2026-11-30', until: '2027-02-28' }
    expect(['2026-09-30', '2026-10-01', '2027-02-28', '2027-03-01'].map((on) => seasonIsNear(on, season))).toEqual([
      false,
      true,
      true,
      false,
    ])
  })

  it('a week of which two of five days are worked takes two fifths of the machines', () => {
    const weeks = seasonWeeks({
      from: '2026-12-14',
      until: '2027-01-08',
      workdays: [1, 2, 3, 4, 5],
      shut: [{ from: '2026-12-23', until: '2027-01-01' }],
      machinesAWeek: 5,
    })
    expect(weeks.map(({ on, day: first, room }) => [on, first, room])).toEqual([
      ['2026-12-14', '2026-12-14', 5],
      ['2026-12-21', '2026-12-21', 2],
      ['2026-12-28', null, 0],
      ['2027-01-04', '2027-01-04', 5],
    ])
  })
})

describe('weeks are proposed', () => {
  it('no week is filled beyond its room, every machine has a week or is named, and what was set stays', () => {
    fc.assert(
      fc.property(work, machines, (season, coming) => {
        const weeks = seasonWeeks(season)
        const places = weeksPropose(weeks, coming, TODAY)
        expect(places.map(({ id }) => id)).toEqual(coming.map(({ id }) => id))
        for (const { on, room, day: first, lastDay } of weeks) {
          const here = places.filter(({ weekOn }) => weekOn === on)
          const set = here.filter(({ why }) => why === 'by-hand').length
          expect(here.length).toBeLessThanOrEqual(Math.max(room, set))
          if (first === null) expect(here).toEqual([])
          if (lastDay !== null && lastDay < TODAY) expect(here.length).toBe(set)
          if (first !== null)
            expect(season.workdays.includes(weekdayOf(first)) && season.from <= first && first <= season.until).toBe(
              true,
            )
        }
        for (const [at, { weekOn, why }] of places.entries()) {
          const asked = coming[at]!.weekOn
          if (asked !== null) expect(weekOn === null ? why : weekOn).toBe(weekOn === null ? 'outside' : asked)
          else expect(weekOn === null).toBe(why === 'no-room')
        }
        // Named for want of room only where there is none.
        if (places.some(({ why }) => why === 'no-room'))
          for (const { on, room, lastDay } of weeks)
            if (lastDay !== null && lastDay >= TODAY)
              expect(places.filter(({ weekOn }) => weekOn === on).length).toBeGreaterThanOrEqual(room)
      }),
    )
  })

  it('who is due first comes first, and nobody before the parts can be there while a later week has room', () => {
    fc.assert(
      fc.property(work, machines, (season, coming) => {
        const weeks = seasonWeeks(season)
        const free = coming.map((one) => ({ ...one, weekOn: null }))
        const places = weeksPropose(weeks, free, TODAY)
        for (const [at, one] of free.entries())
          for (const [other, two] of free.entries()) {
            const [placeOne, placeTwo] = [places[at]!, places[other]!]
            if (one.partsFrom !== two.partsFrom || one.dueOn === null || two.dueOn === null) continue
            if (one.dueOn < two.dueOn && placeOne.why === 'proposed' && placeTwo.why === 'proposed')
              expect(placeOne.weekOn! <= placeTwo.weekOn!).toBe(true)
          }
        for (const [at, { why, weekOn }] of places.entries()) {
          const { partsFrom } = free[at]!
          if (why === 'proposed' && partsFrom !== null && partsFrom > TODAY)
            expect(daysBetween(partsFrom, weeks.find(({ on }) => on === weekOn)!.day!)).toBeGreaterThanOrEqual(0)
        }
      }),
    )
  })
})
