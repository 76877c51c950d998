import { describe, expect, it } from 'vitest'
import { blobsOf } from '../../../lib/figure/reader/blobs.ts'
import { numberSpots } from '../../../lib/figure/reader/numbers.ts'
import { pageInk } from '../../../lib/figure/reader/page-ink.ts'
import { DrawnPage } from './printed-page.ts'

const spotsOn = (page: DrawnPage) => numberSpots(blobsOf(pageInk(page)), page.width).map(({ box }) => box)

describe('what may be an item number', () => {
  it('is 2.1 in the print of a typewriter, whose point is as wide as a digit', () => {
    const page = new DrawnPage(300, 200).rect(100, 80, 112, 100).rect(121, 97, 124, 100).rect(135, 80, 147, 100)
    expect(spotsOn(page)).toEqual([[100, 80, 147, 100]])
  })

  it('is no dash of a chain line, whose line goes on beyond both its ends', () => {
    const page = new DrawnPage(300, 300)
    for (const from of [60, 100, 140]) page.rect(150, from, 153, from + 22).rect(150, from + 27, 153, from + 31)
    const middle = spotsOn(page).filter(([, top]) => top === 100)
    expect(middle).toEqual([])
  })

  it('is a figure 1 that is a plain bar, with its leader line above it or below it', () => {
    for (const leader of [40, 128]) {
      const page = new DrawnPage(300, 300).rect(150, 100, 153, 122).rect(150, leader, 152, leader + 54)
      expect(spotsOn(page), `leader from ${leader}`).toContainEqual([150, 100, 153, 122])
    }
  })
})
