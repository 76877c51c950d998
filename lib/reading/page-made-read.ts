import { pageRead } from '../figure/reader/page.ts'
import type { PageReading } from '../figure/reader/schema.ts'
import type { MadePage } from './page-made.ts'
import { recogniserOpen } from './recogniser.ts'

/** Kept for the process: what reads lines takes as long to open as half a page to read. */
const { recognise } = recogniserOpen()

/** Reads a page that was made ready; every coordinate of the answer is in pixels of the page as given. */
export async function pageMadeRead(
  page: MadePage,
  onStep: (share: number, step: string) => void,
): Promise<PageReading> {
  const reading = await pageRead(page.grey, page.runs, recognise, (share, step) => onStep(0.1 + 0.85 * share, step))
  return readingScaled(reading, page.width / page.grey.width, page.height / page.grey.height, page)
}

/** A reading made at another size, in pixels of the page as given. */
export function readingScaled(
  reading: PageReading,
  across: number,
  down: number,
  { width, height }: { width: number; height: number },
): PageReading {
  const x = (value: number) => Math.round(value * across * 10) / 10
  const y = (value: number) => Math.round(value * down * 10) / 10
  const box = ([left, top, right, bottom]: [number, number, number, number]): [number, number, number, number] => [
    x(left),
    y(top),
    x(right),
    y(bottom),
  ]
  return {
    ...reading,
    width,
    height,
    callouts: reading.callouts.map((one) => ({
      ...one,
      x: x(one.x),
      y: y(one.y),
      tipX: x(one.tipX),
      tipY: y(one.tipY),
      tips: one.tips.map((tip) => ({ x: x(tip.x), y: y(tip.y) })),
    })),
    rows: reading.rows.map((row) => ({ ...row, box: row.box === null ? null : box(row.box) })),
    figures: reading.figures.map((figure) => ({ ...figure, box: box(figure.box) })),
  }
}
