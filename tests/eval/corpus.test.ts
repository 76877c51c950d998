import { describe, expect, it } from 'vitest'
import { demoSpecs } from './demo-pages.ts'
import { itemKey } from './likeness.ts'
import { numberBox, numbersApart } from './numbers.ts'
import { ownPage } from './own-page.ts'
import { ownPages, ownSpec } from './own-pages.ts'
import { halfOf } from './page-case.ts'
import { boxesMeet, lineMeetsBox } from './svg-ink.ts'

describe('sheets of invented machines', () => {
  const sheets = ownPages().map(({ name }) => ({ name, ...ownSpec(name) }))

  it.each(sheets)('$name: each number stands on paper of its own, and all of it on the sheet', ({ spec }) => {
    const { width, height, truth } = ownPage(spec)
    expect(truth.callouts.length).toBeGreaterThanOrEqual(3)
    const boxes = truth.callouts.map((callout) => numberBox(callout, spec.numbers))
    boxes.forEach((box, at) => {
      expect(box.left > 0 && box.top > 0 && box.right < width && box.bottom < height).toBe(true)
      for (const other of boxes.slice(at + 1)) expect(boxesMeet(box, other)).toBe(false)
    })
    const items = new Set(truth.rows.map(({ item }) => itemKey(item)))
    for (const { item, tips } of truth.callouts) {
      expect(items.has(itemKey(item))).toBe(true)
      expect(tips.length).toBeGreaterThanOrEqual(1)
    }
  })

  it('the same name draws the same sheet, another name another', () => {
    const drawn = (name: string) => ownPage(ownSpec(name).spec).ink.join('')
    expect(drawn('own-03')).toBe(drawn('own-03'))
    expect(drawn('own-03')).not.toBe(drawn('own-04'))
  })
})

describe('halves', () => {
  it('a page and its worn copies fall into one half, and both halves have pages', () => {
    const halves = ownPages().map(({ base }) => halfOf(base))
    expect(new Set(halves)).toEqual(new Set(['develop', 'held-out']))
    expect(halfOf('own-01')).toBe(halfOf('own-01'))
  })
})

describe('fresh pages', () => {
  it('are other pages than those that give the mark, and of no figure that may not be looked at', () => {
    const known = new Map(demoSpecs().map((one) => [one.spec.slugs.join('+'), one]))
    const fresh = demoSpecs('orchard')
    expect(fresh.length).toBeGreaterThan(5)
    for (const { name, spec } of fresh) {
      const old = known.get(spec.slugs.join('+'))!
      expect(halfOf(old.name)).toBe('develop')
      expect(name).not.toBe(old.name)
      expect(spec).not.toEqual(old.spec)
    }
    expect(ownPages('orchard').filter(({ name }) => ownPages().some((old) => old.name === name))).toEqual([])
  })
})

describe('setting numbers', () => {
  const style = { frame: 'circle', end: 'dot', family: 'grotesque', size: 24, weight: 400 } as const

  it('numbers that would touch are parted and stay in their field', () => {
    const field = { left: 0, top: 0, right: 900, bottom: 500 }
    const row = Array.from({ length: 9 }, (_, at) => ({ item: String(at + 1), x: 300 + at * 21, y: 40, tips: [] }))
    const boxes = numbersApart(row, style, field).map((callout) => numberBox(callout, style))
    boxes.forEach((box, at) => {
      expect(box.left).toBeGreaterThanOrEqual(-0.01)
      for (const other of boxes.slice(at + 1)) expect(boxesMeet(box, other)).toBe(false)
    })
  })

  it('a line that ends before a box or passes beside it does not meet it', () => {
    const box = { left: 100, top: 100, right: 140, bottom: 120 }
    expect(lineMeetsBox({ x: 0, y: 110 }, { x: 200, y: 110 }, box)).toBe(true)
    expect(lineMeetsBox({ x: 0, y: 110 }, { x: 99, y: 110 }, box)).toBe(false)
    expect(lineMeetsBox({ x: 0, y: 0 }, { x: 200, y: 60 }, box)).toBe(false)
    expect(lineMeetsBox({ x: 120, y: 0 }, { x: 120, y: 300 }, box)).toBe(true)
  })
})
