import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { pageDrawn } from '../../seed/figures/index.ts'
import { commandHere, commandInstalled } from '../support/command.ts'

const folder = mkdtempSync(join(tmpdir(), 'cotterbook-strip-'))
const { file } = pageDrawn('trailer-hub-brake')
const brake = join(folder, 'brake.json')
writeFileSync(brake, JSON.stringify({ ...file, stripSteps: [{ item: '14', note: 'two persons', minutes: 15 }] }))
const without = join(folder, 'figure.json')
writeFileSync(without, JSON.stringify({ ...file, stripOrder: [] }))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const command = (...words: string[]) => commandHere(['strip', ...words])

// Order and companions of a drum brake: common practice, no source.
describe('cotterbook strip', { timeout: 120_000 }, () => {
  it('says what comes off for new shoes, the rebuild backwards, and the shoes of the other wheel with the reason', () => {
    const done = commandInstalled(['strip', brake, '--target', '5', '--position', 'lh', '--json'])
    expect(done.status, done.err).toBe(0)
    const answer = JSON.parse(done.out) as {
      proposed: unknown
      strip: { item: string; note: string | null; minutes: number | null; why: string }[]
      rebuild: { item: string }[]
      companions: {
        item: string | null
        positions: string[]
        quantity: number
        reasons: { words: string; source: string }[]
      }[]
    }
    const items = answer.strip.map((step) => step.item)
    expect(answer.proposed).toBeNull()
    expect(items.indexOf('14')).toBeLessThan(items.indexOf('5'))
    expect(items.at(-1)).toBe('5')
    expect(answer.strip.find((step) => step.item === '14')).toMatchObject({ note: 'two persons', minutes: 15 })
    expect(answer.rebuild.map((step) => step.item)).toEqual(items.toReversed())
    const other = answer.companions.find((one) => one.item === '5')
    expect(other).toMatchObject({ positions: ['RH'], quantity: 2 })
    expect(other?.reasons[0]?.words).toMatch(/both wheels of an axle/)
    for (const one of answer.companions) for (const reason of one.reasons) expect(reason.source).not.toBe('')
  })

  it('proposes an order from the drawing where the file has none, and says so', async () => {
    const done = await command(folder, '--target', '5', '--position', 'RH')
    expect(done.status, done.err).toBe(0)
    expect(done.out).toContain('this one is proposed from the drawing. From 20 Dust cap towards 1 Stub axle.')
  })

  it('goes to the end of a rotor that is named, and says what of it counts at one end', async () => {
    const rotor = join(folder, 'rotor.json')
    writeFileSync(rotor, JSON.stringify(pageDrawn('mower-rotor').file))
    const done = await command(rotor, '--target', '9', '--position', 'nde', '--json')
    expect(done.status, done.err).toBe(0)
    const answer = JSON.parse(done.out) as {
      targets: { positions: string[]; quantity: number }[]
      strip: { item: string }[]
      companions: { item: string | null; positions: string[]; quantity: number }[]
    }
    expect(answer.targets).toMatchObject([{ positions: ['NDE'], quantity: 1 }])
    const items = answer.strip.map((step) => step.item)
    expect(items).toEqual(expect.arrayContaining(['20', '9']))
    expect(items).not.toContain('16')
    const bolts = answer.companions.find((one) => one.item === '13' && one.positions.includes('NDE'))
    expect(bolts).toMatchObject({ positions: ['NDE'], quantity: 4 })
    const wrong = await command(rotor, '--target', '16', '--position', 'NDE')
    expect([wrong.status, wrong.out]).toEqual([1, ''])
  })

  it('answers 1 with what to do next for an item or a position that the figure does not have', async () => {
    const item = await command(brake, '--target', '77')
    expect([item.status, item.out]).toEqual([1, ''])
    expect(item.err).toMatch(/no item 77 .*\nNext: /)
    const position = await command(brake, '--target', '5', '--position', 'REAR')
    expect(position.status).toBe(1)
    expect(position.err).toContain('Figure 5-04 has no position REAR.\nNext: Say one that it has: LH, RH.')
    writeFileSync(join(folder, 'broken.json'), '{')
    expect((await command(join(folder, 'broken.json'), '--target', '5')).status).toBe(1)
  })

  it('answers 2 when nothing is aimed at, or there is no such file', async () => {
    expect((await command(brake)).status).toBe(2)
    expect((await command(join(folder, 'nowhere.json'), '--target', '5')).status).toBe(2)
  })
})
