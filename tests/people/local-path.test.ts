import fc from 'fast-check'
import { expect, test } from 'vitest'
import { localPath, signInPath } from '../../app/_server/local-path.ts'

test.each([
  ['/jobs/7/take', '/jobs/7/take'],
  ['/shelf?q=drum%20brake&page=2#row-3', '/shelf?q=drum%20brake&page=2#row-3'],
  ['/sign-in-sheets', '/sign-in-sheets'],
])('after signing in %s is gone to', (text, path) => {
  expect(localPath(text)).toBe(path)
})

test.each([
  [null],
  [''],
  ['jobs'],
  ['https://elsewhere.example/'],
  ['//elsewhere.example/'],
  ['/\\elsewhere.example/'],
  ['\\\\elsewhere.example'],
  ['/x/..//elsewhere.example'],
  ['/.//elsewhere.example'],
  ['/%2e//elsewhere.example'],
  ['/\t/elsewhere.example'],
  ['/\n/elsewhere.example'],
  ['javascript:alert(1)'],
  ['/sign-in?next=/sign-in'],
  ['/first-manager'],
  [`/${'x'.repeat(2000)}`],
])('after signing in %j leads to Today', (text) => {
  expect(localPath(text)).toBe('/')
})

test('no text whatever leads to another host', () => {
  const piece = fc.constantFrom(
    '/',
    '\\',
    '.',
    '..',
    '%2e',
    '%2f',
    '@',
    ':',
    '?',
    '#',
    '\t',
    'elsewhere.example',
    'a',
    ' ',
  )
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 12 }), (pieces) => {
      const path = localPath(`/${pieces.join('')}`)
      expect(new URL(path, 'http://workshop.example').host).toBe('workshop.example')
      // Browsers take // and /\ at the beginning for a host.
      expect(path).not.toMatch(/^\/[/\\]/)
      expect(localPath(path)).toBe(path)
    }),
    { numRuns: 2000 },
  )
})

test('the sign-in screen is told where to lead, and told nothing when that is Today', () => {
  expect(signInPath('/jobs/7?step=2')).toBe('/sign-in?next=%2Fjobs%2F7%3Fstep%3D2')
  expect(signInPath('//elsewhere.example')).toBe('/sign-in')
  expect(signInPath(undefined)).toBe('/sign-in')
})
