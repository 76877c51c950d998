import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { slipsAllowed, slipsBetween, Vocabulary } from '../../lib/search/typing.ts'

const letters = fc.string({ unit: fc.constantFrom('a', 'b', 'c', 'd'), maxLength: 8 })

describe('slips of the finger', () => {
  // The four slips of F. J. Damerau, Communications of the ACM 7 (1964), p. 171.
  test.each([
    ['bearing', 'bearng', 'a letter missing'],
    ['bearing', 'bearring', 'a letter too many'],
    ['bearing', 'beating', 'a letter wrong'],
    ['bearing', 'beairng', 'two letters swapped'],
  ])('%s and %s are one slip apart: %s', (right, typed) => {
    expect(slipsBetween(typed, right, 2)).toBe(1)
  })

  // Value of the restricted distance given with its definition in the literature, from memory; the unrestricted one is 2.
  test('a swapped pair is not opened again: ca and abc are three apart', () => {
    expect(slipsBetween('ca', 'abc', 5)).toBe(3)
  })

  test('a single letter has no slip, a word has one, of nine letters and more two', () => {
    expect([1, 2, 3, 4, 5, 8, 9, 14].map(slipsAllowed)).toEqual([0, 1, 1, 1, 1, 1, 2, 2])
  })

  test('it is as far there as back, nought only for the same word, and never more than the longer word', () => {
    fc.assert(
      fc.property(letters, letters, (a, b) => {
        const slips = slipsBetween(a, b, 20)
        expect(slips).toBe(slipsBetween(b, a, 20))
        expect(slips === 0).toBe(a === b)
        expect(slips).toBeLessThanOrEqual(Math.max(a.length, b.length))
        expect(slips).toBeGreaterThanOrEqual(Math.abs(a.length - b.length))
      }),
      { seed: 71 },
    )
  })

  test('stopping early only says that it is more', () => {
    fc.assert(
      fc.property(letters, letters, fc.nat(4), (a, b, most) => {
        expect(slipsBetween(a, b, most)).toBe(Math.min(slipsBetween(a, b, 20), most + 1))
      }),
      { seed: 72 },
    )
  })

  test('a swap is at most the two wrong letters of the plain edit distance', () => {
    const plain = (a: string, b: string): number =>
      a === '' || b === ''
        ? a.length + b.length
        : Math.min(
            plain(a.slice(1), b) + 1,
            plain(a, b.slice(1)) + 1,
            plain(a.slice(1), b.slice(1)) + (a[0] === b[0] ? 0 : 1),
          )
    const short = fc.string({ unit: fc.constantFrom('a', 'b', 'c'), maxLength: 5 })
    fc.assert(
      fc.property(short, short, (a, b) => {
        expect(slipsBetween(a, b, 20)).toBeLessThanOrEqual(plain(a, b))
        expect(slipsBetween(a, b, 20) * 2).toBeGreaterThanOrEqual(plain(a, b))
      }),
      { seed: 73 },
    )
  })
})

describe('what was meant', () => {
  const words = new Vocabulary(
    new Map([
      ['bearing', 40],
      ['gearing', 2],
      ['diaphragm', 9],
      ['split', 30],
      ['spring', 12],
      ['pins', 8],
    ]),
  )

  test('the nearest word, then the one written more often', () => {
    expect(words.meant('bearng')).toEqual(['bearing'])
    expect(words.meant('hearing')).toEqual(['bearing', 'gearing'])
    expect(words.meant('diafragm')).toEqual(['diaphragm'])
    expect(words.meant('diaphrgam')).toEqual(['diaphragm'])
    expect(words.meant('diafrahm')).toEqual([])
    expect(words.meant('diaphargn')).toEqual(['diaphragm'])
  })

  test('a single letter and a number stay as typed', () => {
    expect(words.meant('p')).toEqual([])
    expect(words.meant('m16x150')).toEqual([])
  })

  // Which slips are likelier: common practice, no source.
  test('of short words the one of the trade comes first, then swapped and missing letters before wrong ones', () => {
    const short = new Vocabulary(
      new Map([
        ['pan', 90],
        ['pin', 40],
        ['shoe', 9],
        ['shed', 50],
        ['nut', 30],
        ['not', 80],
        ['tun', 3],
      ]),
      new Set(['pin', 'shoe', 'nut']),
    )
    expect(short.meant('pn')).toEqual(['pin', 'pan'])
    expect(short.meant('sheo')).toEqual(['shoe', 'shed'])
    expect(short.meant('nt')).toEqual(['nut', 'not'])
    expect(short.meant('ntu')).toEqual(['nut'])
    expect(short.meant('tn')).toEqual(['tun'])
    expect(short.meant('hsoe')).toEqual(['shoe'])
    expect(short.meant('shoo')).toEqual(['shoe'])
  })

  test('what begins a word is known only from four letters on', () => {
    expect(words.knows('dia', true)).toBe(false)
    expect(words.knows('diap', true)).toBe(true)
  })

  test('a word that is still being typed is found by its beginning, slip and all', () => {
    expect(words.knows('diaph')).toBe(false)
    expect(words.knows('diaph', true)).toBe(true)
    expect(words.meant('diahpr')).toEqual([])
    expect(words.meant('diahpr', true)).toEqual(['diaphragm'])
  })

  test('whatever single slip is made in a word of the list, the word is among what was meant', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('bearing', 'diaphragm', 'split', 'spring', 'pins'),
        fc.nat(12),
        fc.constantFrom('drop', 'double', 'swap', 'wrong'),
        (word, where, slip) => {
          const at = where % (word.length - 1)
          const typed = {
            drop: word.slice(0, at) + word.slice(at + 1),
            double: word.slice(0, at) + word[at] + word.slice(at),
            swap: word.slice(0, at) + word[at + 1] + word[at] + word.slice(at + 2),
            wrong: `${word.slice(0, at)}q${word.slice(at + 1)}`,
          }[slip]
          fc.pre(typed.length >= 2 && typed !== word)
          expect(words.meant(typed)).toContain(word)
        },
      ),
      { seed: 74 },
    )
  })
})
