import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { lanesClose } from '../../lib/reading/lanes.ts'
import { pageReadFile } from '../../lib/reading/page-file.ts'
import { pageMade } from './make-page.ts'
import { photo } from './other-pages.ts'
import { ownPages } from './own-pages.ts'
import type { Picture } from './page-case.ts'
import { pageScore, sharesOf } from './score.ts'
import { lettersDiffer } from './svg-ink.ts'

/** Far below what `npm run eval:pages` asks of many pages: three easy ones, so that a broken reader is seen at once. */
const LEAST = 0.9
const SECONDS_MAX = 180

const folder = mkdtempSync(join(tmpdir(), 'cotterbook-holds-'))
afterAll(() => {
  lanesClose()
  rmSync(folder, { recursive: true, force: true })
})

const own = (name: string) => (): Promise<Picture> =>
  ownPages()
    .find((page) => page.name === name)!
    .make()

const PAGES = [
  { what: 'a sheet with numbers in circles', make: own('own-12') },
  { what: 'a sheet with bare numbers', make: own('own-08') },
  { what: 'a page of a parts book', make: () => pageMade('demo-shredder-rotor', 200) },
]

describe('the page reader', () => {
  it.each(PAGES)(
    'reads $what: numbers, where they stand, and the list',
    { timeout: SECONDS_MAX * 1000 },
    async ({ make }) => {
      if (!(await lettersDiffer())) throw new Error('this machine has no font to draw a page with: install one')
      const picture = await make()
      const file = join(folder, `page.${picture.extension}`)
      writeFileSync(file, picture.bytes)
      const { reading } = await pageReadFile(file, { picture: false })
      const score = pageScore(picture.truth, reading)
      const shares = sharesOf(score.counts)
      const { width, height } = picture.truth
      expect({ width: reading.width, height: reading.height, kind: reading.kind }).toEqual({
        width,
        height,
        kind: 'parts-page',
      })
      expect(shares.recall, 'share of the callouts that were found').toBeGreaterThanOrEqual(LEAST)
      expect(shares.precision, 'share of what was read that is there').toBeGreaterThanOrEqual(LEAST)
      expect(shares.tips, 'share of the leader ends that were found').toBeGreaterThanOrEqual(0.8)
      expect(shares.rows, 'share of the rows that are right').toBeGreaterThanOrEqual(0.8)
    },
  )

  it.each(['d1', 'd2', 'd5'])(
    'says that a photo without a drawing is no parts page (%s)',
    {
      timeout: SECONDS_MAX * 1000,
    },
    async (seed) => {
      const picture = await photo(seed)
      const file = join(folder, `photo.${picture.extension}`)
      writeFileSync(file, picture.bytes)
      const { reading } = await pageReadFile(file, { picture: false })
      expect(reading).toMatchObject({ kind: 'no-parts-page', callouts: [], rows: [], figures: [] })
      expect(reading.why).toContain('looks like a photo')
    },
  )
})
