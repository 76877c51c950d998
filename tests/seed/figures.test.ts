import { describe, expect, it } from 'vitest'
import { FigureFile } from '../../lib/figure/schema.ts'
import { leadersCross, numberHalfWidth } from '../../seed/draw/callout-layout.ts'
import { leaderStart } from '../../seed/draw/svg.ts'
import { FIGURES } from '../../seed/figures/index.ts'
import { MAKERS, MODELS } from '../../seed/figures/makers.ts'
import { stripOrderOf } from '../../seed/figures/page.ts'
import { needReference, readHandbook } from '../support/reference.ts'

const pages = FIGURES.map(({ slug, draw, figure }) => ({ slug, draw, page: figure() }))

/** Items that stand on a loop of "comes off before"; empty when the order can be worked through. */
function stuck(order: readonly { first: string; then: string }[]): string[] {
  let left = [...order]
  for (;;) {
    const blocked = new Set(left.map((step) => step.then))
    const next = left.filter((step) => blocked.has(step.first))
    if (next.length === left.length) return [...blocked]
    left = next
  }
}

/** Shortest way from a point to the straight line between two others. */
function wayTo(p: readonly number[], a: readonly number[], b: readonly number[]): number {
  const [dx, dy] = [b[0]! - a[0]!, b[1]! - a[1]!]
  const t = Math.min(1, Math.max(0, ((p[0]! - a[0]!) * dx + (p[1]! - a[1]!) * dy) / (dx * dx + dy * dy)))
  return Math.hypot(a[0]! + dx * t - p[0]!, a[1]! + dy * t - p[1]!)
}

it('a strip order with a loop is found out', () => {
  expect(stuck(stripOrderOf(['1>2>3', '3>1']))).not.toEqual([])
  expect(stuck(stripOrderOf(['1>2 3>4']))).toEqual([])
})

describe.each(pages)('$slug', ({ draw, page }) => {
  const { file, svg, sheet } = page
  const items = [...new Set(file.lines.map((line) => line.item))]
  const leaders = sheet.callouts.flatMap(({ item, at, tips }) =>
    tips.map((tip) => ({ item, from: leaderStart(item, at, tip), tip })),
  )

  it('is drawn the same to the last byte every time', () => expect(draw().svg === svg).toBe(true))
  it('is a figure file the importer takes', () => expect(FigureFile.safeParse(file).error?.issues).toBeUndefined())
  it('belongs to a model of the demo and carries numbers of its maker', () => {
    expect(Object.values(MODELS)).toContainEqual(file.model)
    const style = Object.values(MAKERS)
      .find((maker) => maker.name === file.model.maker)!
      .partNumberStyle.replace(/\d/g, '9')
      .replace(/9+$/, '')
    for (const line of file.lines) expect(line.partNumber!.replace(/\d/g, '9').startsWith(style)).toBe(true)
  })
  it('shows every item of the list, and lists every item it shows', () => {
    expect(new Set(file.callouts.map((callout) => callout.item))).toEqual(new Set(items))
    for (const item of items) expect(svg).toContain(`<g id="item-${item}"`)
  })
  it('gives one part to one item and machine: lines of one item differ by serial number or side', () => {
    for (const item of items) {
      const same = file.lines.filter((line) => line.item === item)
      if (same.length > 1)
        for (const line of same) expect(line.serialFrom ?? line.serialTo ?? line.serials ?? line.side).toBeDefined()
    }
  })
  it('ends each leader on the part it names', () => {
    for (const { item, tips } of sheet.callouts) {
      expect(tips.length).toBeGreaterThan(0)
      for (const tip of tips)
        expect(
          Math.min(...sheet.visible.get(item)!.map((spot) => Math.hypot(spot[0] - tip[0], spot[1] - tip[1]))),
        ).toBeLessThan(0.5)
    }
  })
  it('has no two leaders that cross', () => {
    const crossing = leaders.flatMap((a, i) =>
      leaders
        .slice(i + 1)
        .filter((b) => leadersCross(a.from, a.tip, b.from, b.tip))
        .map((b) => `${a.item} and ${b.item}`),
    )
    expect(crossing).toEqual([])
  })
  it('keeps numbers on the sheet, apart from each other and clear of other leaders', () => {
    for (const { item, at } of sheet.callouts) {
      const half = numberHalfWidth(item)
      expect(
        at[0] > half + 4 && at[0] < sheet.width - half - 4 && at[1] > 14 && at[1] < sheet.height - 14,
        `${item} at ${at}`,
      ).toBe(true)
      for (const other of sheet.callouts) {
        if (other.item === item) continue
        const apart =
          Math.abs(at[0] - other.at[0]) >= half + numberHalfWidth(other.item) + 3 || Math.abs(at[1] - other.at[1]) >= 20
        expect(apart, `${item} beside ${other.item}`).toBe(true)
      }
      for (const leader of leaders)
        if (leader.item !== item)
          expect(wayTo(at, leader.from, leader.tip), `${item} and leader of ${leader.item}`).toBeGreaterThan(9)
    }
  })
  it('prints no number over a part', () => {
    for (const { item, at } of sheet.callouts) {
      const half = numberHalfWidth(item)
      for (const [name, spots] of sheet.visible) {
        const under = spots.filter((spot) => Math.abs(spot[0] - at[0]) < half && Math.abs(spot[1] - at[1]) < 9)
        expect(under.length, `${item} over ${name}`).toBe(0)
      }
    }
  })
  it('strips in an order without a loop, over items of its own', () => {
    for (const { first, then } of file.stripOrder!)
      expect([items.includes(first), items.includes(then)], `${first}>${then}`).toEqual([true, true])
    expect(stuck(file.stripOrder!)).toEqual([])
    for (const line of file.lines) if (line.attaches) expect(items).toContain(line.attaches)
  })
  it('takes attaching parts off before what they hold', () => {
    const comesOffBefore = (first: string, then: string, seen = new Set<string>()): boolean =>
      file.stripOrder!.some(
        (step) =>
          step.first === first &&
          (step.then === then || (!seen.has(step.then) && comesOffBefore(step.then, then, seen.add(step.then)))),
      )
    expect(
      file.lines.filter((line) => line.attaches && comesOffBefore(line.attaches, line.item)).map((line) => line.item),
    ).toEqual([])
    const silent = file.lines
      .filter((line) => line.attaches && !comesOffBefore(line.item, line.attaches))
      .map((line) => line.item)
    expect(silent).toEqual([])
  })
  // Orders of the trade: common practice, no source.
  const goesOffBefore = (first: string, then: string, seen = new Set([first])): boolean =>
    file.stripOrder!.some(
      (step) =>
        step.first === first &&
        (step.then === then || (!seen.has(step.then) && goesOffBefore(step.then, then, seen.add(step.then)))),
    )
  it('undoes the nut before it draws the bolt of the same joint', () => {
    const bolts = file.lines.filter((line) => line.partClass === 'bolt' && line.attaches)
    for (const bolt of bolts) {
      const nuts = file.lines.filter((line) => /nut$/.test(line.partClass ?? '') && line.attaches === bolt.attaches)
      for (const nut of nuts)
        expect(goesOffBefore(nut.item, bolt.item), `nut ${nut.item}, bolt ${bolt.item}`).toBe(true)
    }
  })
  it('draws the seal before the bearing that it closes in, where both come off the same hub', () => {
    const hub = file.lines.find((line) => line.partClass === 'hub')
    const [seal, bearing] = ['oil-seal', 'bearing'].map((name) => file.lines.find((line) => line.partClass === name))
    if (!hub || !seal || !bearing) return
    expect(goesOffBefore(hub.item, seal.item)).toBe(true)
    expect(goesOffBefore(seal.item, bearing.item)).toBe(true)
  })
  it('takes the wheel off with its nuts and puts it on before them', () => {
    for (const line of file.lines.filter((one) => one.partClass === 'wheel-nut')) {
      expect(line.facts?.stripThen?.join()).toMatch(/wheel off/)
      expect(line.facts?.fitFirst?.join()).toMatch(/wheel on/)
    }
  })
  it('names items of its own in what is done around a part', () => {
    for (const line of file.lines) {
      const { stripOnce, stripFirst, stripThen, fitFirst, fitThen } = line.facts ?? {}
      const words = [stripOnce, stripFirst, stripThen, fitFirst, fitThen].flatMap((some) => some ?? [])
      for (const [, item] of words.join(' ').matchAll(/\((\d+[A-Z]?)\)/g)) expect(items).toContain(item)
    }
  })
  it('has fourteen lines or more and tests before release', () => {
    expect(file.lines.length).toBeGreaterThanOrEqual(14)
    expect(file.tests!.length).toBeGreaterThan(1)
  })
  it('is plain line art of modest size: nothing that runs, loads or styles from elsewhere', () => {
    expect(svg.length).toBeLessThan(150_000)
    expect(svg).not.toMatch(/<script|href|foreignObject|<style|url\(|\bon\w+=|NaN|Infinity/i)
    expect(svg).toMatch(/^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg" width="\d+" height="\d+"/)
  })
})

it('every castle nut of the demo has the split pin that its thread asks for', (context) => {
  // DIN 935-1 with ISO 1234, as listed in the handbook (cases castle-M24 and castle-M30, from memory there).
  const handbook = readHandbook(needReference(context, 'handbook.json'))
  const nuts = pages.flatMap(({ page }) =>
    page.file.lines.filter((line) => line.partClass === 'castle-nut').map((nut) => ({ nut, lines: page.file.lines })),
  )
  expect(nuts.length).toBeGreaterThan(1)
  for (const { nut, lines } of nuts) {
    const pin = lines.find((line) => line.partClass === 'split-pin' && line.attaches === nut.item)
    const wanted = handbook.find((one) => one.id === `castle-${nut.facts!.thread}`)
    expect(wanted?.expected).toMatchObject({
      split_pin_mm: pin?.partFacts?.splitPinMm,
      split_pin_length_mm: pin?.partFacts?.lengthMm,
    })
  }
})
