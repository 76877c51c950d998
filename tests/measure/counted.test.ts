import { expect, test } from 'vitest'
import { counted } from '../../lib/measure/counted.ts'

test('one note is a note, none and two are notes', () => {
  expect([0, 1, 2].map((count) => counted(count, 'note'))).toEqual(['0 notes', '1 note', '2 notes'])
})

test('a word with a plural of its own brings it, and thousands are set apart', () => {
  expect(counted(1, 'entry', 'entries')).toBe('1 entry')
  expect(counted(1204, 'entry', 'entries')).toBe('1,204 entries')
})
