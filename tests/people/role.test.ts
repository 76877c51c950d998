import { describe, expect, test } from 'vitest'
import { mayDo, RIGHTS, type Right, ROLES, type Role, rightRequire, rolesFor } from '../../lib/people/role.ts'
import { Refusal } from '../../lib/refusal.ts'

// Written out a second time, by hand: m mechanic, s storekeeper, b buyer, M manager. Division of work: common practice, no source.
const EXPECTED: Record<Right, string> = {
  'job.open': 'ms M',
  'job.work': 'm M',
  'job.close': 'm M',
  'stock.issue': 'ms M',
  'stock.receive': 's M',
  'stock.count': 's M',
  'stock.approve': 'M',
  'stock.transfer': 'ms M',
  'stock.places': 's M',
  'stock.scrap': 's M',
  'stock.reverse': 's M',
  'stock.level': 'sb M',
  'level.reckon': 'b M',
  'buying.order': 'b M',
  'buying.approve': 'M',
  'winter.plan': 'mb M',
  'budget.keep': 'M',
  'buying.receive': 'sb M',
  'buying.return': 'sb M',
  'catalogue.import': 'sb M',
  'search.words': 's M',
  'catalogue.edit': 's M',
  'rules.change': 's M',
  'catalogue.note': 'msb M',
  'people.manage': 'M',
  'machine.hours': 'ms M',
  'machine.state': 'm M',
  'service-book.correct': 'm M',
  'service.plan': 'm M',
}
const LETTER: Record<Role, string> = { mechanic: 'm', storekeeper: 's', buyer: 'b', manager: 'M' }
const RIGHT_NAMES = Object.keys(RIGHTS) as Right[]

describe.each(RIGHT_NAMES)('%s', (right) => {
  test.each(ROLES)('is open to a %s exactly when the table says so', (role) => {
    expect(mayDo([role], right)).toBe(EXPECTED[right].includes(LETTER[role]))
  })
})

test('the hand-written table has the same rights as the program', () => {
  expect(RIGHT_NAMES.sort()).toEqual(Object.keys(EXPECTED).sort())
})

test('somebody without a role may do nothing', () => {
  expect(RIGHT_NAMES.filter((right) => mayDo([], right))).toEqual([])
})

test('somebody with two roles may do what either may', () => {
  expect(mayDo(['mechanic', 'buyer'], 'job.work')).toBe(true)
  expect(mayDo(['mechanic', 'buyer'], 'buying.order')).toBe(true)
  expect(mayDo(['mechanic', 'buyer'], 'stock.count')).toBe(false)
})

test('the manager is among those who may, for every right', () => {
  for (const right of RIGHT_NAMES) expect(rolesFor(right).at(-1)).toBe('manager')
})

test('a buyer who wants to take parts hears what is not allowed and whom to ask', () => {
  const refuse = () => rightRequire(['buyer'], 'stock.issue')
  expect(refuse).toThrow(Refusal)
  try {
    refuse()
  } catch (error) {
    expect(error).toMatchObject({
      code: 'people/not-allowed',
      happened: 'Your roles do not allow this: take parts from the shelf and put them back.',
      next: 'Ask a mechanic or a storekeeper to do it, or a manager to give you the role.',
    })
  }
})
