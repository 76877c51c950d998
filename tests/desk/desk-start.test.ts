import { describe, expect, it } from 'vitest'
import { type DeskAct, DeskDraft, type DeskHistory, deskHistory, deskStep } from '../../lib/figure/desk.ts'
import { deskCheck } from '../../lib/figure/desk-check.ts'
import { deskStart, deskWithBookLines } from '../../lib/figure/desk-start.ts'
import { hubPage } from './hub-page.ts'

const run = (history: DeskHistory, ...acts: DeskAct[]) => acts.reduce(deskStep, history)
const rowOf = ({ present }: DeskHistory, item: string) => present.rows.find((one) => one.item === item)!

describe('what is proposed when a page is laid on the desk', () => {
  it('a part gets the class its words say, or that of the catalogue, and other where nobody is sure', () => {
    const page = hubPage()
    page.rows[0]!.description = 'Pin, split'
    page.rows[1]!.description = 'Lock nut'
    const draft = deskStart(page, {}, (number) =>
      number === 'TP-1103' ? { unit: 'each', partClass: 'cover' } : undefined,
    )
    expect(draft.rows.map((row) => [row.partClass, row.classBy])).toEqual([
      ['split-pin', 'words'],
      ['other', 'words'],
      ['cover', 'catalogue'],
    ])
  })

  it('a class follows the words until a person says it, and goes into the figure file', () => {
    const before = deskHistory(deskStart(hubPage()))
    const { id } = rowOf(before, '2')
    const typed = run(before, { do: 'set-row', id, field: 'description', value: 'Spring washer, 24' })
    expect(rowOf(typed, '2')).toMatchObject({ partClass: 'spring-washer', classBy: 'words' })
    const told = run(
      typed,
      { do: 'set-class', id, partClass: 'tab-washer' },
      { do: 'set-row', id, field: 'description', value: 'Washer' },
    )
    expect(rowOf(told, '2')).toMatchObject({ partClass: 'tab-washer', classBy: 'person' })
    const head = { maker: 'Thornley & Pike', model: 'TB6', number: '4-02', title: 'Hub' }
    const ready = run(told, { do: 'set-head', head })
    expect(deskCheck(ready.present).file?.lines.map((line) => line.partClass)).toEqual([
      'split-pin',
      'tab-washer',
      'cap',
    ])
  })

  it('another part number is another part: what the catalogue said of the old one goes', () => {
    const known = () => ({ unit: 'each' as const, partClass: 'cover' as const })
    const before = deskHistory(deskStart(hubPage(), {}, known))
    const { id } = rowOf(before, '3')
    const after = run(before, { do: 'set-row', id, field: 'partNumber', value: 'TP-7' })
    expect(rowOf(after, '3')).toMatchObject({ partClass: 'cap', classBy: 'words' })
  })

  it('number and title that the page prints stand there as unsure until somebody has looked', () => {
    const page = hubPage({ heading: { number: '5-04', title: 'Hub and drum brake' } })
    const before = deskHistory(deskStart(page))
    expect(before.present.head).toMatchObject({
      number: '5-04',
      title: 'Hub and drum brake',
      unsure: ['number', 'title'],
    })
    const typed = run(before, { do: 'set-head', head: { title: 'Hub' } })
    expect(typed.present.head.unsure).toEqual(['number'])
    expect(run(typed, { do: 'head-seen' }).present.head).toMatchObject({ number: '5-04', unsure: [] })
  })

  it('a figure of the book keeps its own number and title', () => {
    const page = hubPage({ heading: { number: '9-99', title: 'Parts of something else' } })
    const { head } = deskStart(page, { number: '5-04', title: 'Hub' })
    expect(head).toMatchObject({ number: '5-04', title: 'Hub', unsure: [] })
  })

  it('what nobody has filled in yet is left to do, not a fault; what is wrong is one', () => {
    const before = deskHistory(deskStart(hubPage()))
    const blank = deskCheck(before.present).faults
    expect(blank.map((fault) => fault.blank)).toEqual(
      expect.arrayContaining(['maker of the machine', 'machine model', 'figure number', 'title']),
    )
    expect(blank.every((fault) => fault.blank !== null)).toBe(true)
    const wrong = run(before, { do: 'set-row', id: rowOf(before, '1').id, field: 'quantity', value: 'two' })
    expect(deskCheck(wrong.present).faults.filter((fault) => fault.blank === null)).toMatchObject([
      { words: 'quantity: too small, it must be above 0' },
    ])
  })

  it('a page that was laid there before classes were told opens as it was left', () => {
    const { rows, head, ...draft } = deskStart(hubPage())
    const { unsure: _, ...oldHead } = head
    const old = { ...draft, head: oldHead, rows: rows.map(({ partClass: _class, classBy: _by, ...row }) => row) }
    expect(DeskDraft.parse(JSON.parse(JSON.stringify(old))).rows[0]).toMatchObject({
      description: 'Split pin',
      partClass: 'other',
    })
  })
})

describe('a drawing for a list that is in the book', () => {
  const line = {
    item: '1',
    partNumber: 'TP-1101',
    description: 'Split pin',
    quantity: 2,
    quantityNote: '',
    unit: 'each' as const,
    partClass: 'split-pin' as const,
  }

  it('gets the lines of the book where the page prints none, each with an id of its own', () => {
    const bare = deskStart(hubPage({ rows: [] }))
    const draft = deskWithBookLines(bare, [line, { ...line, item: '2', quantity: 0.25, unit: 'litre' }])
    expect(draft.rows.map((row) => [row.item, row.quantity, row.unit])).toEqual([
      ['1', '2', 'each'],
      ['2', '0.25', 'litre'],
    ])
    const ids = [
      ...draft.callouts.flatMap((one) => [one.id, ...one.tips.map((tip) => tip.id)]),
      ...draft.rows.map((one) => one.id),
    ]
    expect(new Set(ids.map((id) => id.slice(1))).size).toBe(ids.length)
    expect(DeskDraft.parse(draft)).toEqual(draft)
  })

  it('keeps to the list that the page prints', () => {
    const printed = deskStart(hubPage())
    expect(deskWithBookLines(printed, [line])).toBe(printed)
  })
})
