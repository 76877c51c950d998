import type { GreyPage } from '../figure/reader/schema.ts'
import { randomSeeded } from '../maths/random.ts'

/** A4 across at 100 to the inch: small enough to make at once, coarse enough for every step of the reader to be taken. */
const WIDTH = 1169
const HEIGHT = 827
const [PAPER, INK] = [235, 60]

/**
 * A page that says nothing: a ruled list of twelve rows with bars for print, strokes in every direction with marks at their ends,
 * grain of a poor copy. The reader reads it once to be ready: what it runs is then compiled and its nets are open.
 */
export function warmPage(): GreyPage {
  const chance = randomSeeded('a page that says nothing')
  const page = { width: WIDTH, height: HEIGHT, data: new Uint8Array(WIDTH * HEIGHT).fill(PAPER) }
  const dot = (x: number, y: number) => {
    const [column, row] = [Math.round(x), Math.round(y)]
    if (column >= 0 && row >= 0 && column < WIDTH && row < HEIGHT) page.data[row * WIDTH + column] = INK
  }
  const stroke = (fromX: number, fromY: number, toX: number, toY: number) => {
    const long = Math.ceil(Math.hypot(toX - fromX, toY - fromY))
    for (let way = 0; way <= long; way++)
      dot(fromX + ((toX - fromX) * way) / long, fromY + ((toY - fromY) * way) / long)
  }
  /** As tall as print at this size, two strokes that touch: the reader takes it for a sign. */
  const sign = (x: number, y: number) => {
    stroke(x, y, x + 4, y + 7)
    stroke(x + 4, y, x, y + 7)
  }
  const [left, right, top, deep] = [820, 1140, 420, 16]
  for (let row = 0; row <= 12; row++) stroke(left, top + row * deep, right, top + row * deep)
  for (const wall of [left, 850, 885, 1060, right]) stroke(wall, top, wall, top + 12 * deep)
  for (let row = 0; row < 12; row++)
    for (const [x, signs] of [
      [832, 2],
      [865, 1],
      [892, 4 + Math.floor(chance() * 18)],
      [1068, 7],
    ] as const)
      for (let at = 0; at < signs; at++) sign(x + 7 * at, top + 4 + row * deep)
  for (let n = 0; n < 60; n++) {
    const [x, y, angle] = [60 + chance() * 700, 60 + chance() * 700, 2 * Math.PI * chance()]
    stroke(x, y, x + 120 * Math.cos(angle), y + 120 * Math.sin(angle))
    for (let at = 0; at < 1 + (n % 2); at++) sign(x - 12 * Math.cos(angle) - 2 + 7 * at, y - 12 * Math.sin(angle) - 4)
  }
  for (let n = 0; n < 4000; n++) dot(chance() * WIDTH, chance() * HEIGHT)
  for (let at = 0; at < page.data.length; at++) page.data[at]! += Math.round((chance() - 0.5) * 36)
  return page
}
