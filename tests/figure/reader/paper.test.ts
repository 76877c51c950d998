import { describe, expect, it } from 'vitest'
import { isNumbering, isPaper } from '../../../lib/figure/reader/paper.ts'
import type { GreyPage } from '../../../lib/figure/reader/schema.ts'
import { randomNormal, randomSeeded } from '../../../lib/maths/random.ts'
import { rasterPage } from '../../../lib/reading/page-raster.ts'
import { photo } from '../../eval/other-pages.ts'

/** A page with lines on it whose paper is `tone(x, y)`, shares of its width and height. */
function sheet(tone: (x: number, y: number) => number, grain = 0): GreyPage {
  const [width, height] = [1200, 900]
  const random = randomSeeded('grain of a sheet')
  const data = new Uint8Array(width * height)
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const line = y % 90 < 3 || (x + 2 * y) % 170 < 3
      data[y * width + x] = Math.max(
        0,
        Math.min(255, tone(x / width, y / height) * (line ? 0.2 : 1) + grain * randomNormal(random, 0, 1)),
      )
    }
  return { width, height, data }
}

const callouts = (...items: string[]) => items.map((item) => ({ item }))

describe('paper', () => {
  it('is one tone, however grey, grainy or lit from one side', { timeout: 60_000 }, () => {
    expect(isPaper(sheet(() => 255))).toBe(true)
    expect(isPaper(sheet(() => 205, 9))).toBe(true)
    expect(isPaper(sheet((x, y) => 235 - 70 * x - 25 * y, 4))).toBe(true)
  })

  it('may carry a dark picture and a grey band: nothing on it is lighter than it is', () => {
    expect(isPaper(sheet((x, y) => (x > 0.1 && x < 0.4 && y > 0.2 && y < 0.7 ? 90 : 240)))).toBe(true)
  })

  it('is not what a photo shows: many tones, lighter and darker than the commonest', { timeout: 120_000 }, async () => {
    for (const seed of ['bench', 'yard']) {
      const { bytes } = await photo(seed)
      expect(isPaper((await rasterPage(bytes, 'photo.jpg', 1)).grey), seed).toBe(false)
    }
  })
})

describe('a picture that is no sheet of paper', () => {
  it('still is a page when its numbers count parts: a drawing photographed on a bench', () => {
    expect(isNumbering(callouts('1', '2', '3', '4', '5', '6', '7'))).toBe(true)
    expect(isNumbering(callouts('101', '102', '103A', '104', '106', '107', '107'))).toBe(true)
  })

  it('is none when scraps of it look like digits', () => {
    expect(isNumbering(callouts('8', '5', '8', '5', '9'))).toBe(false)
    expect(isNumbering(callouts('6', '8', '6', '8', '9', '5', '6', '1'))).toBe(false)
    expect(isNumbering(callouts('2', '17', '41', '63', '88', '95'))).toBe(false)
    expect(isNumbering([])).toBe(false)
  })
})
