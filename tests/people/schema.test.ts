import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  FirstManagerInput,
  NewSecret,
  PersonActiveInput,
  PersonName,
  RoleList,
  SignInInput,
} from '../../lib/people/schema.ts'

const faults = (read: { success: boolean; error?: { issues: { message: string }[] } }) =>
  read.error?.issues.map((issue) => issue.message) ?? []

describe('a name', () => {
  test('is kept in composed form (Unicode NFC), however the keyboard sent it', () => {
    expect(PersonName.parse('Zoe\u0308 Hartwell')).toBe('Zo\u00eb Hartwell')
  })
  test('has single spaces and none around it', () => {
    expect(PersonName.parse('  Bram   Oakes ')).toBe('Bram Oakes')
  })
  test.each([['Łucja Ó Ríordáin-Wren'], ["D'Arcy van der Haag"], ['李 小龍'], ['नीरज']])('%s is a name', (name) => {
    expect(PersonName.parse(name)).toBe(name)
  })
  test.each([
    ['a line end', 'Bram\nOakes'],
    ['a zero byte', 'Bram\u0000'],
    ['a mark that turns the reading direction (U+202E)', 'Bram\u202eOakes'],
    ['an isolate (U+2066)', '\u2066Bram'],
    ['an invisible joiner (U+200D)', 'Br\u200dam'],
    ['a byte order mark', '\ufeffBram'],
    ['half of a surrogate pair', 'Bram\ud800'],
    ['a line separator (U+2028)', 'Bram\u2028Oakes'],
  ])('with %s is refused', (_, name) => {
    expect(faults(PersonName.safeParse(name))).toEqual(['a name has no line ends or invisible characters'])
  })
  test('of spaces only, of digits only, or missing is refused', () => {
    expect(faults(PersonName.safeParse('   '))).toContain('enter a name')
    expect(faults(PersonName.safeParse('007'))).toEqual(['a name has at least one letter'])
    expect(faults(PersonName.safeParse(undefined))).toEqual(['enter a name'])
  })
  test('of 80 characters is taken, of 81 refused', () => {
    expect(PersonName.safeParse('a'.repeat(80)).success).toBe(true)
    expect(PersonName.safeParse('a'.repeat(81)).success).toBe(false)
  })
  test('that was accepted once is accepted unchanged again', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (text) => {
        const read = PersonName.safeParse(text)
        if (read.success) expect(PersonName.parse(read.data)).toBe(read.data)
      }),
    )
  })
})

describe('a new PIN', () => {
  test.each(['2580', '7391', '90210', '480615', '135792468013'])('%s is taken', (pin) => {
    expect(NewSecret.parse(pin)).toBe(pin)
  })
  test.each(['0000', '1234', '4321', '7890', '0987', '1212', '123123', '11111111', '123456789012', '45454545'])(
    '%s is refused: anybody would try it first',
    (pin) => {
      expect(faults(NewSecret.safeParse(pin))).toEqual(['that PIN is the first anybody would try'])
    },
  )
  test('of 3 digits is refused, of 4 taken', () => {
    expect(NewSecret.safeParse('258').success).toBe(false)
    expect(NewSecret.safeParse('2581').success).toBe(true)
  })
  test('may be any of 9,880 of the 10,000 with four digits', () => {
    const taken = Array.from({ length: 10_000 }, (_, pin) => String(pin).padStart(4, '0')).filter(
      (pin) => NewSecret.safeParse(pin).success,
    )
    // Refused: 10 x 10 of the form abab (aaaa among them), and 20 that count up or down.
    expect(taken).toHaveLength(10_000 - 100 - 20)
  })
})

describe('a new password', () => {
  test('of 7 characters is refused, of 8 taken', () => {
    expect(NewSecret.safeParse('hedge-7').success).toBe(false)
    expect(NewSecret.safeParse('hedge-78').success).toBe(true)
  })
  test('of 200 characters is taken, of 201 refused', () => {
    const long = 'orchard press '.repeat(15)
    expect(NewSecret.safeParse(`${long.slice(0, 199)}!`).success).toBe(true)
    expect(NewSecret.safeParse(`${long.slice(0, 200)}!`).success).toBe(false)
  })
  test('of 13 digits is a password, not a PIN', () => {
    expect(NewSecret.safeParse('1357924680135').success).toBe(true)
  })
  test.each(['password', 'P@ssw0rd1!', 'qwerty12', 'aaaaaaaa', 'abcabcabc'])('%s is refused', (password) => {
    expect(faults(NewSecret.safeParse(password))).toEqual(['that password is the first anybody would try'])
  })
  test('with a line end is refused', () => {
    expect(NewSecret.safeParse('hedge\ntrimmer').success).toBe(false)
  })
})

describe('roles', () => {
  test('come as one ticked box or several, and are kept once each in the order of the table', () => {
    expect(RoleList.parse('buyer')).toEqual(['buyer'])
    expect(RoleList.parse(['manager', 'mechanic', 'manager'])).toEqual(['mechanic', 'manager'])
  })
  test.each([[undefined], [[]], [false], ['owner'], [['mechanic', 'owner']]])('%j is refused', (roles) => {
    expect(RoleList.safeParse(roles).success).toBe(false)
  })
  test('left out ask for at least one', () => {
    expect(faults(RoleList.safeParse(undefined))).toEqual(['choose at least one role'])
  })
})

test('the first manager types the secret twice, and is told at the second one when they differ', () => {
  const typed = { name: 'Bram Oakes', secret: '2580', secretAgain: '2508' }
  const read = FirstManagerInput.safeParse(typed)
  expect(read.error?.issues.map((issue) => issue.path.join('.'))).toEqual(['secretAgain'])
  expect(FirstManagerInput.safeParse({ ...typed, secretAgain: '2580' }).success).toBe(true)
})

test('signing in takes a secret that would no longer be accepted as a new one', () => {
  expect(SignInInput.parse({ name: 'Bram Oakes', secret: '1234' }).secret).toBe('1234')
})

test('a person is switched by the words of a form or by a plain value', () => {
  expect(PersonActiveInput.parse({ personId: 'p1', active: 'off' }).active).toBe(false)
  expect(PersonActiveInput.parse({ personId: 'p1', active: 'on' }).active).toBe(true)
  expect(PersonActiveInput.parse({ personId: 'p1', active: false }).active).toBe(false)
})
