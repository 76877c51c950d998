import { beforeAll, describe, expect, test } from 'vitest'
import { search } from '../../lib/db/search.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import {
  directionsApart,
  directionsOf,
  directionsRead,
  positionRead,
  positionsMeant,
} from '../../lib/search/position.ts'
import { questionRead } from '../../lib/search/question.ts'
import { useWorkshop } from '../support/database.ts'
import { type SearchWorkshop, searchWorkshop } from './workshop.ts'

const read = (typed: string) => positionRead(questionRead(`${typed} `))
const WHEELS = [
  { code: 'LH', label: 'Left front wheel' },
  { code: 'RH', label: 'Right front wheel' },
]
const CORNERS = [
  { code: 'FL', label: 'Front left' },
  { code: 'FR', label: 'Front right' },
  { code: 'RL', label: 'Rear left' },
  { code: 'RR', label: 'Rear right' },
]

// What people say of sides, near side being the kerb side where traffic keeps left: common practice, no source.
describe('words for a position', () => {
  test.each([
    ['left brake binds', ['left'], 'brake binds', 'brake'],
    ['brake binds LH', ['left'], 'brake binds', 'brake'],
    ['left-hand side brake drags', ['left'], 'brake drags', 'brake'],
    ['near side wheel bearing rumbles', ['left'], 'wheel bearing rumbles', 'wheel bearing'],
    ['nearside hub runs hot', ['left'], 'hub runs hot', 'hub'],
    ['n/s wheel wobbles', ['left'], 'wheel wobbles', 'wheel'],
    ['RH brake squeals', ['right'], 'brake squeals', 'brake'],
    ['offside rear brake grinds', ['right', 'rear'], 'brake grinds', 'brake'],
    ['off side knocks', ['right'], 'knocks', null],
    ['front right hub leaking', ['front', 'right'], 'hub leaking', 'hub'],
    ['leaks at the back', ['rear'], 'leaks', null],
  ])('of "%s" the position is %j and the rest "%s"', (typed, directions, rest, thing) => {
    const parted = read(typed)
    expect([...parted.directions].sort()).toEqual([...directions].sort())
    expect(parted.rest?.text).toBe(rest)
    expect(parted.thing?.text ?? null).toBe(thing)
  })

  test.each(['back plate', 'backplate', 'pulls left', 'brake shoe'])('"%s" holds no position', (typed) => {
    expect(read(typed).directions).toEqual([])
  })

  test('a position alone is no question about anything', () => {
    expect(read('left')).toMatchObject({ directions: ['left'], rest: null, thing: null })
  })

  test('labels of a figure and words of an address are read the same way', () => {
    expect(directionsOf('Front axle, left-hand')).toEqual(['front', 'left'])
    expect(directionsOf('Spindle 1')).toEqual([])
    expect(directionsRead('rear,left,sideways')).toEqual(['left', 'rear'])
    expect(directionsRead(undefined)).toEqual([])
  })

  test('the positions of a figure that were meant', () => {
    expect(positionsMeant(WHEELS, ['left'])).toEqual(['LH'])
    expect(positionsMeant(WHEELS, ['right', 'front'])).toEqual(['RH'])
    expect(positionsMeant(WHEELS, ['left', 'rear'])).toEqual([])
    expect(positionsMeant(CORNERS, ['rear', 'left'])).toEqual(['RL'])
    expect(positionsMeant(CORNERS, ['rear'])).toEqual(['RL', 'RR'])
    expect(positionsMeant([{ code: '1', label: 'Spindle 1' }], ['left'])).toEqual([])
  })

  test('what tells no position from another means none', () => {
    expect(positionsMeant(WHEELS, ['front'])).toEqual([])
    expect(positionsMeant([], ['left'])).toEqual([])
  })

  test('the other end of the machine is elsewhere, the other axis is not', () => {
    expect(directionsApart(['front'], ['rear'])).toBe(true)
    expect(directionsApart(['front'], ['left'])).toBe(false)
    expect(directionsApart([], ['left'])).toBe(false)
  })
})

describe('a symptom with a position in it', () => {
  useWorkshop()
  let workshop: SearchWorkshop
  beforeAll(async () => {
    workshop = await searchWorkshop()
    const { machineId, person } = workshop
    await inTransaction(async (tx) => {
      for (const [number, complaint] of [
        [21, 'RH brake drags after washing'],
        [22, 'Brake drags on the nearside'],
        [23, 'Brake drags, both warm'],
      ] as const)
        await tx.job.create({
          data: { number, machineId, complaint, cause: '', correction: '', openedAt: new Date(), openedById: person },
        })
    })
  })
  const TAKES = { parts: 20, figures: 5, machines: 5, jobs: 5 }

  test.each([
    'left brake binds',
    'brake binds left hand',
    'LH brake drags',
    'near side brake sticks',
    'offside brake binding',
    'rear brake binds',
    'front right drum gets hot',
  ])('%s gives the figure of the brake', async (typed) => {
    const { figures, meant } = await search(typed, TAKES)
    expect(figures[0]).toMatchObject({ id: workshop.figureId, number: '5-04' })
    expect(meant).toBeNull()
  })

  test('the figure that a job with the same symptoms was opened on comes with the item that was opened', async () => {
    expect((await search('left brake binds hot', TAKES)).figures[0]?.item).toBe('1')
    // No job tells of it: the figure of the thing that does it, with no item.
    expect((await search('left brake squeals', TAKES)).figures[0]).toMatchObject({ number: '5-04', item: null })
  })

  test('jobs that name the side come before those that do not, and none is left out for not naming it', async () => {
    const { jobs, directions } = await search('left brake drags', TAKES)
    expect(directions).toEqual(['left'])
    expect(jobs[0]?.number).toBe(22)
    expect(jobs.map((job) => job.number)).toContain(23)
    expect((await search('RH brake drags', TAKES)).jobs[0]?.number).toBe(21)
  })

  test('a part is found without its side where no part names one', async () => {
    expect((await search('left brake shoe', TAKES)).parts[0]?.number).toBe('BS-200')
    expect((await search('rear mudguard', TAKES)).parts[0]?.number).toBe('MG-1')
  })

  test('a slip beside a side is still put right', async () => {
    const { parts, meant } = await search('left brake sheo', TAKES)
    expect([parts[0]?.number, meant]).toEqual(['BS-200', 'left brake shoe'])
  })
})
