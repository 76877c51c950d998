import { expect, test } from 'vitest'
import { bookSheet } from '../../lib/job/book-sheet.ts'
import type { EntryContent } from '../../lib/job/service-book.ts'

const CONTENT: EntryContent = {
  version: 1,
  machine: { fleetNumber: 'W-02', name: 'Tipping trailer 2', model: 'Dunmarrow T6', serialNumber: '0412' },
  job: { number: 12, kind: 'repair', openedAt: '2026-03-01T08:00:00Z', openedBy: 'Nell Farrow' },
  complaint: 'drum smells',
  cause: 'camshaft dry',
  correction: 'shoes renewed',
  labourMinutes: 190,
  labour: [
    { by: 'Owen Tarrant', day: '2026-03-02', minutes: 120 },
    { by: 'Nell Farrow', day: '2026-03-03', minutes: 70 },
  ],
  fitted: [],
  acts: [],
  declined: [],
  tests: [
    {
      text: 'Lining measured (LH)',
      state: 'done',
      note: null,
      by: 'Owen Tarrant',
      measured: { what: 'Lining thickness', value: 6.5, unit: 'mm', limits: '4 mm or more', passes: true },
    },
    {
      text: 'Lining measured (RH)',
      state: 'done',
      note: 'new shoes come on Monday',
      by: 'Owen Tarrant',
      measured: { what: 'Lining thickness', value: 3.8, unit: 'mm', limits: '4 mm or more', passes: false },
    },
    { text: 'Parking brake holds', state: 'done', note: null, by: null },
  ],
  releasedBy: 'Owen Tarrant',
  photos: [
    { digest: 'a'.repeat(64), alt: 'Drum, blue from heat', stage: 'complaint', step: null },
    { digest: 'b'.repeat(64), alt: 'Scored', stage: 'strip', step: 'Take off 14 Brake drum' },
  ],
  notes: [{ text: 'Wheel stands under the axle', by: 'Nell Farrow', at: '2026-03-02T16:00:00Z' }],
  foundOnJob: 9,
  partsCostMinor: 0,
  currency: 'GBP',
}

const written = { writtenAt: new Date('2026-03-03T15:00:00Z'), person: 'Owen Tarrant', hourTenths: 4220 }

test('paper tells who worked when, what was measured against which limits, who released it, and what was noted', () => {
  const sheet = bookSheet({ ...written, content: CONTENT }, [])
  expect(sheet.told).toEqual(
    expect.arrayContaining([
      { label: 'Labour', text: '190 min: Owen Tarrant 120 on 2 Mar 2026, Nell Farrow 70 on 3 Mar 2026' },
      { label: 'Found on', text: 'job 9' },
      { label: 'Released to work by', text: 'Owen Tarrant' },
    ]),
  )
  expect(Object.fromEntries(sheet.lists.map(({ title, lines }) => [title, lines]))).toEqual({
    'Tests before release': [
      'done: Lining measured (LH) (Owen Tarrant) - Lining thickness 6.5 mm, inside 4 mm or more',
      'done: Lining measured (RH), new shoes come on Monday (Owen Tarrant) - Lining thickness 3.8 mm, outside 4 mm or more',
      'done: Parking brake holds',
    ],
    'Hand-over notes': ['Wheel stands under the axle (Nell Farrow, 2 Mar 2026)'],
    'Photos, kept with the entry': ['Drum, blue from heat', 'Scored - Take off 14 Brake drum'],
  })
})

test('an entry from before any of that was kept says nothing of it', () => {
  const { labour: _, releasedBy: __, photos: ___, notes: ____, foundOnJob: _____, ...old } = CONTENT
  const sheet = bookSheet({ ...written, content: { ...old, tests: [] } }, [])
  expect(sheet.told.map(({ label }) => label)).toEqual(['Complaint', 'Cause', 'Correction', 'Labour'])
  expect(sheet.told.at(-1)!.text).toBe('190 min')
  expect(sheet.lists).toEqual([])
})
