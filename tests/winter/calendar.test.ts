import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { daysAdd } from '../../lib/service/plain-date.ts'
import { calendarPropose, minutesFor, placesPropose, weekRooms } from '../../lib/winter/calendar.ts'
import { placeFaults } from '../../lib/winter/faults.ts'
import { loadSays, weekLoads } from '../../lib/winter/load.ts'
import { mondayOf, type SeasonWork, seasonWeeks, type WorkCalendar } from '../../lib/winter/season.ts'
import { type ComingMachine, weeksPropose } from '../../lib/winter/weeks.ts'

const TODAY = '2026-11-28'
const day = fc.integer({ min: -20, max: 80 }).map((days) => daysAdd(TODAY, days))
const span = fc
  .tuple(day, fc.integer({ min: 0, max: 12 }))
  .map(([from, days]) => ({ from, until: daysAdd(from, days) }))
const person = fc.record({ minutesADay: fc.integer({ min: 0, max: 600 }), away: fc.array(span, { maxLength: 2 }) })
const people = fc
  .array(person, { maxLength: 4 })
  .map((all) => all.map((one, at) => ({ personId: `p${at}`, name: `Person ${at}`, ...one })))
const calendar: fc.Arbitrary<WorkCalendar> = fc
  .record({ bays: fc.option(fc.integer({ min: 1, max: 4 })), people, usualMinutes: fc.constant(480) })
  .filter((one) => one.bays !== null || one.people.length > 0)
const season: fc.Arbitrary<SeasonWork> = fc.record({
  from: day,
  until: day.map((on) => daysAdd(on, 50)),
  workdays: fc.subarray([1, 2, 3, 4, 5, 6], { minLength: 1 }),
  shut: fc.array(span, { maxLength: 2 }),
  machinesAWeek: fc.constant(2),
  calendar,
})
const machine = fc.record({
  dueOn: fc.option(day),
  partsFrom: fc.option(day),
  // Also weeks that are shut, outside of the season, or over.
  weekOn: fc.option(day.map(mondayOf), { freq: 3 }),
  minutes: fc.integer({ min: 1, max: 6_000 }),
  priority: fc.integer({ min: 1, max: 3 }),
})
const machines: fc.Arbitrary<(ComingMachine & { minutes: number })[]> = fc
  .array(machine, { maxLength: 25 })
  .map((all) => all.map((one, id) => ({ id, ...one })))

const sum = (numbers: readonly number[]) => numbers.reduce((all, one) => all + one, 0)
const planOf = (work: SeasonWork, coming: readonly ComingMachine[]) => {
  const weeks = seasonWeeks(work)
  return { weeks, places: placesPropose(work, weeks, coming, TODAY), rooms: weekRooms(weeks, work.calendar!, TODAY) }
}
/** Longer than any week, so that what was never done compares as later. */
const NEVER = '9999-12-31'

const MONTH: Omit<SeasonWork, 'calendar'> = {
  from: '2026-11-30',
  until: '2026-12-27',
  workdays: [1, 2, 3, 4, 5],
  shut: [],
  machinesAWeek: 2,
}
const of = (personId: string, hours: number, away: WorkCalendar['people'][number]['away'] = []) => ({
  ...{ personId, name: personId, minutesADay: hours * 60, away },
})
const coming = (id: number, hours: number, more: Partial<ComingMachine> = {}): ComingMachine => ({
  ...{ id, dueOn: `2026-12-0${id}`, partsFrom: null, weekOn: null, minutes: hours * 60 },
  ...more,
})
const saysOf = (work: SeasonWork, coming: readonly ComingMachine[]) => {
  const { weeks, places } = planOf(work, coming)
  const loads = weekLoads(work, { weeks, places }, TODAY)!
  const fleet = new Map(coming.map(({ id }) => [id, { fleetNumber: `W-0${id}` }]))
  return {
    heads: weeks.map(({ on }) => loadSays(loads.get(on)!)),
    spent: places.map(({ spent }) => spent!.map(({ on, minutes }) => `${on} ${minutes / 60}`)),
    faults: placeFaults(places, fleet, { weeks, work, today: TODAY }).map(({ where, says }) => `${where} ${says}`),
    whys: places.map(({ why }) => why),
  }
}

describe('the workshop calendar, by hand', () => {
  // By hand: two people at 8 h a day are 80 h a week, one of them alone 40 h.
  it('a machine that takes longer than a week runs on, since one person works at it at a time', () => {
    const work = { ...MONTH, calendar: { bays: 2, people: [of('Jory', 8), of('Wilf', 8)], usualMinutes: 480 } }
    const { heads, spent, faults } = saysOf(work, [coming(1, 60), coming(2, 22), coming(3, 10)])
    expect(spent).toEqual([['2026-11-30 40', '2026-12-07 20'], ['2026-11-30 22'], ['2026-11-30 10']])
    expect(heads.slice(0, 3)).toEqual(['72 of 80 h, 2 of 2 bays', '20 of 80 h, 1 of 2 bays', '0 of 80 h, 0 of 2 bays'])
    expect(faults).toEqual([])
  })

  it('one bay for two people is worth the hours of one, and days away are nobody’s', () => {
    const away = [{ from: '2026-12-07', until: '2026-12-09' }]
    const people = [of('Jory', 8, away), of('Wilf', 4)]
    const work = { ...MONTH, calendar: { bays: 1, people, usualMinutes: 480 } }
    // The second week has Wilf's 4 h on three days and Jory's 8 h on two: 28 h in the bay, of 36 h that people give.
    const { heads, spent } = saysOf(work, [coming(1, 40), coming(2, 28), coming(3, 8)])
    expect(spent).toEqual([['2026-11-30 40'], ['2026-12-07 28'], ['2026-12-14 8']])
    expect(heads.slice(0, 3)).toEqual(['40 of 60 h, 1 of 1 bay', '28 of 36 h, 1 of 1 bay', '8 of 60 h, 1 of 1 bay'])
  })

  it('what was set stays, and what does not fit there is said with what to do', () => {
    const work = { ...MONTH, calendar: { bays: null, people: [of('Jory', 8)], usualMinutes: 480 } }
    const set = { weekOn: '2026-12-21' }
    const { spent, faults, whys } = saysOf(work, [coming(1, 30, set), coming(2, 25, set), coming(3, 12)])
    expect(spent).toEqual([['2026-12-21 30'], ['2026-12-21 10'], ['2026-11-30 12']])
    expect(whys).toEqual(['by-hand', 'by-hand', 'proposed'])
    expect(faults).toEqual([
      'W-02 15 of its 25 h do not fit into the week of 21 Dec 2026 that was set for it',
      'W-02 15 of its 25 h find no time before the season ends',
    ])
  })

  it('a machine that gives way to one that is due sooner is said to stand, and without hours left none is begun', () => {
    const work = { ...MONTH, calendar: { bays: null, people: [of('Jory', 8)], usualMinutes: 480 } }
    const late = { partsFrom: '2026-12-07' }
    const { spent, faults, whys } = saysOf(work, [coming(1, 40, late), coming(2, 60), coming(3, 60), coming(4, 9)])
    expect(spent).toEqual([
      ['2026-12-07 40'],
      ['2026-11-30 40', '2026-12-14 20'],
      ['2026-12-14 20', '2026-12-21 40'],
      [],
    ])
    expect(whys).toEqual(['proposed', 'proposed', 'proposed', 'no-room'])
    expect(faults).toEqual([
      'W-04 no week has the hours and a bay for it',
      'W-02 is begun in the week of 30 Nov 2026 and stands in that of 7 Dec 2026, where machines that are due sooner or were set take the hours',
    ])
  })

  it('of those that are due on one day the one whose job matters most comes first', () => {
    const work = { ...MONTH, calendar: { bays: 1, people: [], usualMinutes: 480 } }
    const dueOn = '2026-12-01'
    const { spent, heads } = saysOf(work, [coming(1, 8, { dueOn }), coming(2, 8, { dueOn, priority: 1 })])
    expect(spent).toEqual([['2026-12-07 8'], ['2026-11-30 8']])
    expect(heads[0]).toBe('1 of 1 bay')
  })
})

describe('weeks are filled by hours and bays', () => {
  it('no week has more work than its people give at so many bays, and no machine more than one person can do', () => {
    fc.assert(
      fc.property(season, machines, (work, all) => {
        const { weeks, places, rooms } = planOf(work, all)
        for (const [at, { on, minutes, bays, whole }] of rooms.entries()) {
          const here = places.flatMap(({ spent }) => spent!.filter((one) => one.on === on).map((one) => one.minutes))
          if (minutes === null) expect(here.length).toBeLessThanOrEqual(bays!)
          else {
            expect(sum(here)).toBeLessThanOrEqual(minutes)
            // Of any n machines no more than the n who are longest there give, day by day.
            const most = here.toSorted((a, b) => b - a)
            for (let n = 1; n <= most.length; n++) {
              const given = weeks[at]!.worked.map((on) =>
                sum(
                  work
                    .calendar!.people.filter(({ away }) => !away.some(({ from, until }) => on >= from && on <= until))
                    .map(({ minutesADay }) => minutesADay)
                    .toSorted((a, b) => b - a)
                    .slice(0, Math.min(n, bays ?? n)),
                ),
              )
              expect(sum(most.slice(0, n))).toBeLessThanOrEqual(sum(given))
            }
          }
          if (weeks[at]!.day === null) expect(here).toEqual([])
          expect(whole.length).toBeLessThanOrEqual(bays ?? whole.length)
        }
      }),
    )
  })

  it('every machine is done, or named with what finds no time; what was set stays, and nothing is proposed in the past', () => {
    fc.assert(
      fc.property(season, machines, (work, all) => {
        const { weeks, places } = planOf(work, all)
        expect(places.map(({ id }) => id)).toEqual(all.map(({ id }) => id))
        const fleet = new Map(all.map(({ id }) => [id, { fleetNumber: `W-${id}` }]))
        const named = new Set(placeFaults(places, fleet, { weeks, work, today: TODAY }).map(({ where }) => where))
        for (const [at, { id, weekOn, why, spent, left }] of places.entries()) {
          const { weekOn: set, minutes } = all[at]!
          expect(sum(spent!.map((one) => one.minutes)) + left!).toBe(minutes)
          if (weekOn === null || left! > 0) expect(named.has(`W-${id}`)).toBe(true)
          if (set === null) expect(['proposed', 'before-parts', 'no-room']).toContain(why)
          else expect(weekOn === null ? why : weekOn).toBe(weekOn === null ? 'outside' : set)
          if (set === null && weekOn !== null) {
            expect(weeks.find(({ on }) => on === weekOn)!.lastDay! >= TODAY).toBe(true)
            expect(spent![0]!.on).toBe(weekOn)
          }
        }
      }),
    )
  })

  it('nobody is begun or done later because there are more people, more hours or more bays', () => {
    fc.assert(
      fc.property(season, machines, people, fc.tuple(fc.nat(3), fc.nat(240)), (work, all, more, [bays, longer]) => {
        const before = work.calendar!
        // Without anybody a machine counts as a bay: hours are then no more of the same.
        const joined =
          before.people.length === 0
            ? []
            : [
                ...before.people.map((one) => ({ ...one, minutesADay: one.minutesADay + longer })),
                ...more.map((one, at) => ({ ...one, personId: `q${at}` })),
              ]
        const after = { ...before, people: joined, bays: before.bays === null ? null : before.bays + bays }
        const weeks = seasonWeeks(work)
        const less = calendarPropose(before, weeks, all, TODAY)
        const mostly = calendarPropose(after, weeks, all, TODAY)
        for (const [at, place] of less.entries()) {
          // One that was only begun before its parts could be there may now wait for them.
          if (place.why === 'before-parts') continue
          const then = mostly[at]!
          expect((then.weekOn ?? NEVER) <= (place.weekOn ?? NEVER) || then.why === 'before-parts').toBe(true)
          expect(then.left! <= place.left!).toBe(true)
          if (place.left === 0) expect(then.spent!.at(-1)!.on <= place.spent!.at(-1)!.on).toBe(true)
        }
      }),
    )
  })

  it('one machine more has what is left of the longest hours, whatever the order of those before it', () => {
    // By hand: 40 h and 20 h; beside a machine that has 30 h another can have all of the 30 h left, but only 20 h beside 40 h.
    expect(minutesFor([40, 20], [])).toBe(40)
    expect(minutesFor([40, 20], [30])).toBe(30)
    expect(minutesFor([40, 20], [40])).toBe(20)
    expect(minutesFor([40, 20], [10, 30])).toBe(20)
    expect(minutesFor([], [])).toBe(0)
  })

  it('a plan that names neither people nor bays counts machines a week as before', () => {
    fc.assert(
      fc.property(season, machines, (work, all) => {
        const plain = { ...work, calendar: { bays: null, people: [], usualMinutes: 480 } }
        const weeks = seasonWeeks(plain)
        expect(placesPropose(plain, weeks, all, TODAY)).toEqual(weeksPropose(weeks, all, TODAY))
        expect(weekLoads(plain, { weeks, places: [] }, TODAY)).toBeNull()
      }),
    )
  })
})
