import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type DeskAct,
  DeskDraft,
  type DeskHistory,
  deskHistory,
  deskPause,
  deskRedo,
  deskStep,
  deskUndo,
} from '../../lib/figure/desk.ts'
import {
  deskCheck,
  deskKeep,
  deskKeepGrown,
  deskLooks,
  deskPositions,
  deskPositionsText,
} from '../../lib/figure/desk-check.ts'
import { deskStart } from '../../lib/figure/desk-start.ts'
import { hubPage } from './hub-page.ts'

const HEAD = { maker: 'Thornley & Pike', model: 'TB6', number: '4-02', title: 'Hub and drum brake' }
const desk = () => deskHistory(deskStart(hubPage(), HEAD))
const run = (history: DeskHistory, ...acts: DeskAct[]) => acts.reduce(deskStep, history)
const idOf = (history: DeskHistory, item: string) => history.present.callouts.find((one) => one.item === item)!.id
const rowOf = (history: DeskHistory, item: string) => history.present.rows.find((one) => one.item === item)!.id

/** Any step a person can take, on things that are there, are gone or never were. */
const anyAct: fc.Arbitrary<(history: DeskHistory) => DeskAct> = fc
  .record({
    kind: fc.nat(13),
    pick: fc.nat(9),
    x: fc.integer({ min: -50, max: 2000 }),
    word: fc.constantFrom('1', '2', '12A', '', '7'),
  })
  .map(({ kind, pick, x, word }) => (history) => {
    const { callouts, rows } = history.present
    const callout = callouts[pick % Math.max(1, callouts.length)]
    const tip = callout?.tips[pick % Math.max(1, callout.tips.length)]
    const [c, r, t] = [callout?.id ?? 'c999', rows[pick % Math.max(1, rows.length)]?.id ?? 'r999', tip?.id ?? 't999']
    const acts: DeskAct[] = [
      { do: 'add-callout', item: word, x, y: pick },
      { do: 'move-callout', id: c, x, y: pick },
      { do: 'renumber', id: c, item: word },
      { do: 'delete-callout', id: c },
      { do: 'add-tip', id: c, x, y: pick },
      { do: 'move-tip', id: c, tip: t, x, y: pick },
      { do: 'delete-tip', id: c, tip: t },
      { do: 'add-row', item: word, after: r },
      { do: 'set-row', id: r, field: 'description', value: word },
      { do: 'delete-row', id: r },
      { do: 'join', callout: c, row: r },
      { do: 'seen', id: c, doubt: 'more-than-once' },
      { do: 'set-head', head: { title: word } },
      { do: 'keep', box: x > 500 ? [0, 0, 10, 10] : null },
    ]
    return acts[kind]!
  })

describe('putting a page right', () => {
  it('undo after any steps restores what was there before the first one, and redo what was there after the last', () => {
    fc.assert(
      fc.property(fc.array(anyAct, { maxLength: 60 }), (acts) => {
        const start = desk()
        const end = acts.reduce((history, act) => deskStep(history, act(history)), start)
        let back = end
        while (back.past.length > 0) back = deskUndo(back)
        expect(back.present).toEqual(start.present)
        let again = back
        while (again.future.length > 0) again = deskRedo(again)
        expect(again.present).toEqual(end.present)
      }),
    )
  })

  it('every undo goes back to a state that was on the desk, whatever was done and undone before', () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(anyAct, fc.constant(null)), { maxLength: 60 }), (steps) => {
        let history = desk()
        const seen = [JSON.stringify(history.present)]
        for (const step of steps) {
          history = step ? deskStep(history, step(history)) : deskUndo(history)
          if (step) seen.push(JSON.stringify(history.present))
          else expect(seen).toContain(JSON.stringify(history.present))
        }
      }),
    )
  })

  it('no two things ever have one id, also after steps were taken back', () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(anyAct, fc.constant(null)), { maxLength: 60 }), (steps) => {
        let history = desk()
        for (const step of steps) {
          history = step ? deskStep(history, step(history)) : deskUndo(history)
          const { callouts, rows } = history.present
          const ids = [
            ...callouts.flatMap((one) => [one.id, ...one.tips.map((tip) => tip.id)]),
            ...rows.map((one) => one.id),
          ]
          expect(new Set(ids).size).toBe(ids.length)
          expect(DeskDraft.safeParse(history.present).success).toBe(true)
        }
      }),
    )
  })

  it('a number that is corrected or moved stays the same number', () => {
    const before = desk()
    const id = idOf(before, '2')
    const after = run(before, { do: 'renumber', id, item: '2A' }, { do: 'move-callout', id, x: 12, y: 34 })
    expect(after.present.callouts.find((one) => one.id === id)).toMatchObject({ item: '2A', x: 12, y: 34 })
    expect(deskUndo(deskUndo(after)).present).toEqual(before.present)
  })

  it('a run of nudges is one step back, and a pause ends it', () => {
    const before = desk()
    const id = idOf(before, '1')
    const { x, y } = before.present.callouts.find((one) => one.id === id)!
    const nudged = run(before, { do: 'move-callout', id, x: x + 1, y }, { do: 'move-callout', id, x: x + 2, y })
    expect(deskUndo(nudged).present).toEqual(before.present)
    const twice = deskStep(deskPause(nudged), { do: 'move-callout', id, x: x + 3, y })
    expect(deskUndo(twice).present).toEqual(nudged.present)
  })

  it('nothing is moved off the page', () => {
    const before = desk()
    const id = idOf(before, '1')
    const after = run(before, { do: 'move-callout', id, x: -400, y: 99_999 })
    expect(after.present.callouts.find((one) => one.id === id)).toMatchObject({ x: 0, y: before.present.height })
  })

  it('a row without a number takes that of the callout it is joined to; else the callout takes the row’s', () => {
    const before = desk()
    const blank = run(before, { do: 'add-row', item: '', after: null })
    const row = blank.present.rows.at(-1)!.id
    const joined = deskStep(blank, { do: 'join', callout: idOf(blank, '9'), row })
    expect(joined.present.rows.at(-1)!.item).toBe('9')
    const other = deskStep(before, { do: 'join', callout: idOf(before, '9'), row: rowOf(before, '3') })
    expect(other.present.callouts.filter((one) => one.item === '3')).toHaveLength(1)
  })

  it('a row is added below the one in hand', () => {
    const after = run(desk(), { do: 'add-row', item: '1A', after: rowOf(desk(), '1') })
    expect(after.present.rows.map((row) => row.item)).toEqual(['1', '1A', '2', '3'])
  })
})

describe('what to look at first', () => {
  const says = (history: DeskHistory) => deskLooks(history.present).map((one) => `${one.item}: ${one.doubt}`)

  it('numbers and rows that do not meet, leaders that were not found and what was hard to read are named', () => {
    expect(says(desk())).toEqual([
      '2: hard-to-read',
      '9: no-row',
      '3: no-callout',
      '1: more-than-once',
      '1: more-than-once',
    ])
  })

  it('what is put right is not asked again, and what is undone is', () => {
    const before = desk()
    const right = run(before, { do: 'renumber', id: idOf(before, '9'), item: '3' })
    expect(says(right)).not.toContain('9: no-row')
    expect(says(right)).not.toContain('3: no-callout')
    expect(says(deskUndo(right))).toContain('9: no-row')
  })

  it('what a person lets stand is not asked again', () => {
    const before = desk()
    const after = run(before, { do: 'seen', id: rowOf(before, '3'), doubt: 'no-callout' })
    expect(says(after)).not.toContain('3: no-callout')
  })

  it('a number without a leader line is named until it has one', () => {
    const before = desk()
    const id = idOf(before, '2')
    const tip = before.present.callouts.find((one) => one.id === id)!.tips[0]!.id
    const bare = run(before, { do: 'delete-tip', id, tip })
    expect(says(bare)).toContain('2: no-leader')
    expect(says(run(bare, { do: 'add-tip', id, x: 5, y: 6 }))).not.toContain('2: no-leader')
  })
})

describe('a page before it is published', () => {
  it('has every fault at the row or number it is about', () => {
    const before = desk()
    const [one, three] = [rowOf(before, '1'), rowOf(before, '3')]
    const wrong = run(
      before,
      { do: 'set-row', id: one, field: 'quantity', value: 'two' },
      { do: 'set-row', id: three, field: 'description', value: ' ' },
      { do: 'set-row', id: three, field: 'partNumber', value: '' },
      { do: 'set-head', head: { title: '' } },
    )
    const { file, faults } = deskCheck(wrong.present)
    expect(file).toBeNull()
    expect(faults.map((fault) => [fault.id, fault.words])).toEqual([
      [null, 'title: is empty'],
      [one, 'quantity: too small, it must be above 0'],
      [three, 'description: is empty'],
    ])
  })

  it('is a figure whose picture begins at the corner of what is kept', () => {
    const kept = deskStep(desk(), { do: 'keep', box: [100, 50, 700, 500] })
    const { file, warnings } = deskCheck(kept.present)
    expect(file?.picture).toMatchObject({ width: 600, height: 450 })
    expect(file?.callouts.map(({ item, x, y }) => [item, x, y])).toEqual([
      ['1', 20, 70],
      ['2', 210, 90],
      ['1', 220, 270],
    ])
    expect(warnings).toContainEqual(expect.stringMatching(/^1 number outside/))
  })

  it('where number and name share a column, what is printed serves as both, and is to be looked at', () => {
    const before = desk()
    const after = run(before, { do: 'set-row', id: rowOf(before, '2'), field: 'description', value: '' })
    expect(deskCheck(after.present).file?.lines[1]).toMatchObject({ partNumber: 'TP-1102', description: 'TP-1102' })
    expect(deskLooks(after.present)).toContainEqual(expect.objectContaining({ item: '2', doubt: 'cell-unclear' }))
  })

  it('a list that reads upwards is turned, and drawings that lie apart are kept together', () => {
    const page = hubPage()
    const [left, right] = [
      { box: [80, 90, 400, 700] as [number, number, number, number], callouts: [0, 1] },
      { box: [600, 90, 920, 700] as [number, number, number, number], callouts: [3] },
    ]
    const draft = deskStart({ ...page, rows: page.rows.toReversed(), figures: [left, right] })
    expect(draft.rows.map((one) => one.item)).toEqual(['1', '2', '3'])
    expect(draft.drawings).toHaveLength(3)
    expect(draft.keep).toEqual([20, 30, 980, 760])
  })

  it('where no quantity is printed one is counted, and the list says that it is not printed', () => {
    const before = desk()
    const blank = run(
      before,
      { do: 'set-row', id: rowOf(before, '2'), field: 'quantity', value: '' },
      { do: 'count-one' },
    )
    expect(blank.present.rows.map((one) => [one.quantity, one.quantityNote])).toEqual([
      ['2', ''],
      ['1', 'not printed'],
      ['1', ''],
    ])
    expect(deskStep(before, { do: 'count-one' })).toBe(before)
  })

  it('more or less paper can be kept around the drawing, never more than the page has nor less than nothing', () => {
    const draft = desk().present
    const [left, top, right, bottom] = deskKeep(draft)
    expect(deskKeepGrown(draft, 0.01)).toEqual([left - 10, top - 10, right + 10, bottom + 10])
    expect(deskKeepGrown(draft, 5)).toEqual([0, 0, 1000, 1400])
    const [x, y, toX, toY] = deskKeepGrown(draft, -5)
    expect(toX - x).toBeGreaterThan(50)
    expect(toY - y).toBeGreaterThan(50)
  })

  it('a row that prints AR instead of a number counts one, and blank rows are left out', () => {
    const before = desk()
    const id = rowOf(before, '3')
    const after = run(
      before,
      { do: 'set-row', id, field: 'quantity', value: '' },
      { do: 'set-row', id, field: 'quantityNote', value: 'AR' },
      { do: 'add-row', item: '', after: null },
    )
    expect(deskCheck(after.present).file?.lines.map((line) => [line.item, line.quantity, line.quantityNote])).toEqual([
      ['1', 2, undefined],
      ['2', 1, undefined],
      ['3', 1, 'AR'],
    ])
  })

  it('left and right wear as a pair, and places come back as they were typed', () => {
    const text = 'LH left wheel\nRH right wheel'
    expect(deskPositions(text)).toEqual([
      { code: 'LH', label: 'left wheel', pairedWith: 'RH' },
      { code: 'RH', label: 'right wheel', pairedWith: 'LH' },
    ])
    expect(deskPositionsText(deskPositions(text))).toBe(text)
    expect(deskPositions('A\n\nB second')).toEqual([
      { code: 'A', label: 'A' },
      { code: 'B', label: 'second' },
    ])
  })
})
