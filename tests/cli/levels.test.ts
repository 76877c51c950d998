import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { commandHere, commandInstalled } from '../support/command.ts'

const folder = mkdtempSync(join(tmpdir(), 'cotterbook-levels-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function asked(text: string, ...words: string[]) {
  const file = join(folder, 'demand.csv')
  writeFileSync(file, text)
  return ['levels', file, ...words]
}
const command = (text: string, ...words: string[]) => commandHere(asked(text, ...words))

const STEADY = [
  'id;Period;quantity;lead_time',
  ...[2, 2, 2, 2].map((quantity, at) => `A-1;2026-0${at + 1};${quantity};2.5`),
]

describe('cotterbook levels', { timeout: 120_000 }, () => {
  it('answers when to order, up to what, the fill to expect and the reason', async () => {
    const done = commandInstalled(
      asked(STEADY.join('\r\n'), '--target-kind', 'cycle', '--method', 'poisson-sba', '--json'),
    )
    expect(done.status, done.err).toBe(0)
    const { levels } = JSON.parse(done.out) as { levels: Record<string, unknown>[] }
    // SBA of a steady 2 is 0.95 * 2, so the mean over the lead time is 4.75: P(X <= 8) 0.9470, P(X <= 9) 0.9764 (Poisson
    // sums worked by a script of another language).
    expect(levels).toMatchObject([{ id: 'A-1', reorder_point: 9, order_up_to: 10, order_quantity: 1 }])
    expect(levels[0]?.reason).toMatch(
      /^Order up to 10 when 9 or fewer are left: .*nobody waiting before 95 of 100 deliveries; 97 of 100 are expected and 9\d+ of 1000? there at once/,
    )
    const plain = await command(STEADY.join('\n'))
    expect(plain.out.split('\n')[0]).toBe(
      'id,reorder_point,order_up_to,order_quantity,expected_fill,cycle_service,delivery_service,safety_stock,reason',
    )
    expect(plain.out).toMatch(/\nA-1,\d+,/)
  })

  it('says of a part that was never asked for that it was not, and from what its need is foreseen', async () => {
    const knives = [1, 2, 3, 4, 5, 6].flatMap((part) =>
      [1, 2, 3, 4].map((period) => `K${part},${period},${part > 1 && (period + part) % 3 === 0 ? 1 : 0},knife,100`),
    )
    const seals = [1, 2, 3, 4].map((period) => `S1,${period},0,seal,`)
    const header = 'id,period,quantity,class,exposure'
    const reasons = async (rows: readonly string[]) => {
      const done = await command([header, ...rows].join('\n'), '--lead', '1', '--json')
      expect(done.status, done.err).toBe(0)
      const { levels } = JSON.parse(done.out) as { levels: { id: string; reason: string }[] }
      return Object.fromEntries(levels.map(({ id, reason }) => [id, reason]))
    }
    const all = await reasons([...knives, ...seals])
    expect(all.K1).toMatch(
      /^Never asked for in 4 periods, so foreseen from the class knife and from how much it runs: Order up to \d+ when .*: about [\d.]+ a period are foreseen, a delivery/,
    )
    expect(all.S1).toMatch(
      /^Never asked for in 4 periods, so foreseen from all parts of the file: Order up to .* are foreseen, a delivery/,
    )
    expect(all.K2).toMatch(/^Order up to \d+ when .*: about [\d.]+ a period are used, a delivery/)
    expect((await reasons(seals)).S1).toMatch(
      /^Never asked for in 4 periods, nor was any part of the file, so that a little is supposed: Order/,
    )
  })

  it('names row, column and reason of bad rows on stderr, answers nothing, and ends with 2', async () => {
    const bad = await command([...STEADY, 'A-1;2026-05;many'].join('\n'))
    expect(bad).toMatchObject({ status: 2, out: '' })
    expect(bad.err).toContain('row 6, quantity: "many" is no number from 0')
    const json = await command([...STEADY, 'A-1;2026-05;many'].join('\n'), '--json')
    expect(json).toMatchObject({ status: 2, out: '' })
    expect(JSON.parse(json.err)).toMatchObject({ faults: [{ row: 6, column: 'quantity' }] })
    expect(await command('id;quantity\nA;2', '--lead', '1')).toMatchObject({ status: 2, out: '' })
    expect(await command(STEADY.join('\n'), '--target', '95')).toMatchObject({ status: 2, out: '' })
  })
})
