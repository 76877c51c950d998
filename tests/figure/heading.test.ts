import { describe, expect, it } from 'vitest'
import { figureNamed, headingRead } from '../../lib/figure/reader/heading.ts'
import type { PageBox, ReadCallout, TextRun } from '../../lib/figure/reader/schema.ts'

const nothing = { width: 1000, height: 1400, data: new Uint8Array(0) }
const run = (text: string, left: number, top: number, tall: number): TextRun => ({
  text,
  box: [left, top, left + text.length * tall * 0.6, top + tall],
})
const callout = (x: number, y: number): ReadCallout => ({
  item: '1',
  x,
  y,
  tipX: x,
  tipY: y,
  tips: [],
  confidence: 1,
  doubts: [],
})
const never = () => Promise.reject(new Error('a page with text of its own is not recognised'))

function page(runs: TextRun[], blocks: PageBox[] = []) {
  return {
    page: nothing,
    runs,
    ink: nothing,
    rules: { across: [], down: [], shortest: 10 },
    tables: [[50, 900, 950, 1350] as PageBox],
    blocks,
    callouts: [callout(120, 200), callout(880, 700)],
  }
}

describe('what a page calls its drawing', () => {
  it('is the line that says it is a figure, above or below the drawing, before any other heading', async () => {
    const runs = [
      run('Thornley TB6', 60, 40, 34),
      run('Fig. 5-04', 60, 760, 22),
      run('Hub and drum brake', 200, 760, 22),
      run('Figure 8 Wheel stud', 60, 950, 22),
    ]
    expect(await headingRead(page(runs), never)).toEqual({ number: '5-04', title: 'Hub and drum brake' })
  })

  it('is the largest words of the title block, without its labels, names and numbers', async () => {
    const block: PageBox = [600, 1250, 980, 1390]
    const runs = [
      run('TITLE', 710, 1255, 13),
      run('TIPPING GEAR', 710, 1272, 24),
      run('DRAWING NO.', 710, 1300, 13),
      run('QB-4471-02', 710, 1318, 24),
      run('GENERAL TOLERANCES', 710, 1345, 13),
    ]
    const on = { ...page([run('Machine of ours', 60, 40, 34), ...runs], [block]), tables: [] }
    expect(await headingRead(on, never)).toEqual({ number: '', title: 'Tipping gear' })
  })

  it('is the largest line above the drawing where there is nothing else', async () => {
    const runs = [run('PARTS BOOK', 700, 60, 40), run('Brake, rear axle', 60, 60, 30), run('see page 12', 60, 120, 16)]
    expect(await headingRead(page(runs), never)).toEqual({ number: '', title: 'Brake, rear axle' })
  })

  it('is nothing on a page that has only its list and words among the parts', async () => {
    const runs = [run('Split pin', 60, 950, 20), run('detail A of the hub', 400, 400, 40)]
    expect(await headingRead(page(runs), never)).toBeNull()
  })

  it.each([
    ['Figure 12A: Gearbox', '12A', 'Gearbox'],
    ['FIG. NO. 3-02 ROTOR AND KNIVES', '3-02', 'Rotor and knives'],
    ['Fig 7.', '7', ''],
    // The reader of lines loses a space now and then.
    ['Fig.5-04Hub and drum brake', '5-04', 'Hub and drum brake'],
  ])('"%s" is figure %s', (text, number, title) => {
    expect(figureNamed(text)).toEqual({ number, title })
  })

  it('a figure that is only spoken of is none', () => {
    expect(figureNamed('as shown in figure 3')).toBeNull()
    expect(figureNamed('Configuration 3')).toBeNull()
  })
})
