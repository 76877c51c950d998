import { readFileSync } from 'node:fs'
import sharp from 'sharp'
import { expect, test } from 'vitest'
import { calloutsRead } from '../../../lib/figure/reader/callouts.ts'
import { recogniserOpen } from '../../../lib/reading/recogniser.ts'
import { needReference } from '../../support/reference.ts'

interface Truth {
  callouts: { number: string; x: number; y: number; leader_ends: [number, number][] }[]
}

/** An exploded view of an open-hardware machine by its makers (CC BY-SA 4.0; SOURCE.md beside it), read by hand. */
test('every callout of a real exploded drawing is read, with its number and the end of its leader line', {
  timeout: 120_000,
}, async (context) => {
  const picture = needReference(context, 'figures/extruder-pro-screw-assembly/page.png')
  const truth = JSON.parse(readFileSync(picture.replace('page.png', 'truth.json'), 'utf8')) as Truth
  const { data, info } = await sharp(picture).greyscale().raw().toBuffer({ resolveWithObject: true })
  const diagonal = Math.hypot(info.width, info.height)
  const { recognise, close } = recogniserOpen()
  const { callouts } = await calloutsRead(
    { width: info.width, height: info.height, data: new Uint8Array(data) },
    [],
    [],
    recognise,
  )
  await close()
  expect(callouts).toHaveLength(truth.callouts.length)
  for (const { number, x, y, leader_ends } of truth.callouts) {
    const near = callouts.filter((one) => Math.hypot(one.x - x, one.y - y) < 0.02 * diagonal)
    expect(near.map(({ item }) => item)).toContain(number)
    for (const [endX, endY] of leader_ends)
      expect(
        Math.min(...near.flatMap(({ tips }) => tips.map((tip) => Math.hypot(tip.x - endX, tip.y - endY)))),
      ).toBeLessThan(0.03 * diagonal)
  }
})
