import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { randomSeeded } from '../../lib/maths/random.ts'
import { caseDegraded, pictureWorn, SEVERITIES, type Severity, type Wear, wearDrawn } from './degrade.ts'
import type { PageCase, Picture } from './page-case.ts'

/** Black squares on white paper, their middles known: what the truth says can be measured on the worn copy. */
async function squares(): Promise<Picture> {
  const spots = [
    { x: 100, y: 120 },
    { x: 900, y: 140 },
    { x: 300, y: 520 },
    { x: 870, y: 470 },
  ]
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="1000" height="600"><rect width="1000" height="600" fill="#fff"/>${spots
    .map(({ x, y }) => `<rect x="${x - 12}" y="${y - 12}" width="24" height="24"/>`)
    .join('')}</svg>`
  return {
    bytes: await sharp(Buffer.from(svg)).png().toBuffer(),
    extension: 'png',
    dpi: 100,
    truth: {
      width: 1000,
      height: 600,
      rows: [],
      callouts: spots.map((spot, at) => ({ item: String(at + 1), ...spot, tips: [{ x: spot.x, y: spot.y }] })),
    },
  }
}

/** Centre of the ink within some pixels of a point. */
async function inkNear(picture: Picture, { x, y }: { x: number; y: number }, reach: number) {
  const { data, info } = await sharp(picture.bytes).greyscale().raw().toBuffer({ resolveWithObject: true })
  let [sum, across, down] = [0, 0, 0]
  for (let v = Math.round(y) - reach; v <= Math.round(y) + reach; v++)
    for (let u = Math.round(x) - reach; u <= Math.round(x) + reach; u++) {
      const ink = (data[(v * info.width + u) * info.channels] ?? 255) < 110 ? 1 : 0
      sum += ink
      across += ink * (u + 0.5)
      down += ink * (v + 0.5)
    }
  expect(sum).toBeGreaterThan(40)
  return { x: across / sum, y: down / sum }
}

const still: Wear = {
  dpi: 100,
  skewDegrees: 0,
  blurSigma: 0.3,
  quality: 90,
  paper: [255, 250],
  grain: 0,
  specksPerMillion: 0,
}

describe('worn copies', () => {
  it.each([
    { dpi: 100, skewDegrees: 3 },
    { dpi: 160, skewDegrees: -2.4 },
    { dpi: 70, skewDegrees: 1.3 },
  ])('what is on the page is where the truth says after turning $skewDegrees degrees at $dpi dpi', async (change) => {
    const worn = await pictureWorn(await squares(), { ...still, ...change }, randomSeeded('squares'))
    const size = await sharp(worn.bytes).metadata()
    expect([worn.truth.width, worn.truth.height]).toEqual([size.width, size.height])
    for (const callout of worn.truth.callouts) {
      const ink = await inkNear(worn, callout, 22)
      expect(Math.hypot(ink.x - callout.x, ink.y - callout.y)).toBeLessThan(1.5)
      expect(callout.tips).toEqual([{ x: callout.x, y: callout.y }])
    }
  })

  it('the same page and severity give the same copy, byte for byte, and another page another', async () => {
    const page = (name: string): PageCase => ({ name, group: 'demo', base: name, about: '', make: squares })
    const copy = async (name: string) => (await caseDegraded(page(name), 'medium', 'demo-degraded').make()).bytes
    const first = await copy('one')
    expect(first.equals(await copy('one'))).toBe(true)
    expect(first.equals(await copy('two'))).toBe(false)
  })

  it.each(Object.keys(SEVERITIES) as Severity[])('a %s copy keeps within what its severity says', (severity) => {
    const random = randomSeeded(severity)
    for (let k = 0; k < 200; k++) {
      const wear = wearDrawn(severity, random)
      expect(Math.abs(wear.skewDegrees)).toBeLessThanOrEqual(SEVERITIES[severity].skew)
      expect(SEVERITIES[severity].dpi).toContain(wear.dpi)
      expect(wear.blurSigma).toBeGreaterThanOrEqual(SEVERITIES[severity].blur[0])
      expect(wear.blurSigma).toBeLessThanOrEqual(SEVERITIES[severity].blur[1])
    }
  })
})
