import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, describe, expect, it } from 'vitest'
import type { PlanAnswer } from '../../lib/replenish/plan-answer.ts'
import { commandHere, commandInstalled } from '../support/command.ts'

const EXAMPLE = fileURLToPath(new URL('../../docs/order-plan.example.json', import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'cotterbook-order-plan-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const command = (...words: string[]) => commandHere(['order-plan', ...words])

describe('cotterbook order-plan', { timeout: 120_000 }, () => {
  it('plans the example of the docs to the penny, and says what each line is for', async () => {
    const done = commandInstalled(['order-plan', EXAMPLE, '--json'])
    expect(done.status, done.err).toBe(0)
    const answer = JSON.parse(done.out) as PlanAnswer
    // By hand. Hubs: 4 are short, 4 x 12.40. Grease: 1.3 kg short, 4 tubs of 0.4 kg, 28.80. Bearings, 6 short, and seals, 8
    // short: two kits bring 4 and 4, a pack of two bearings at 6.90 less 5 % (6.56) and a pack of five seals the rest.
    expect(answer.goodsMinor).toBe(4960 + 2880 + 2 * 1650 + 2 * 656 + 5 * 210)
    expect(answer.carriageMinor).toBe(950 + 600)
    expect([answer.boundMinor, answer.gap, answer.proven]).toEqual([answer.costMinor, 0, true])
    expect(answer.orders[0]?.lines[0]).toMatchObject({
      part: 'HB-104A',
      quantity: 4,
      pegged: [{ need: 'N1', part: 'HB-104', quantity: 4, for: { job: '214' } }],
    })
    const plain = await command(EXAMPLE)
    expect(plain.out).toContain('Alder Vale Supplies, order on 2026-11-30')
    expect(plain.out).toContain('No plan costs less.')
  })

  it('names what is wrong in an item, plans the rest and ends with 1', async () => {
    const problem = JSON.parse(readFileSync(EXAMPLE, 'utf8')) as { suppliers: Record<string, unknown>[] }
    delete problem.suppliers[1]?.leadDays
    const file = join(folder, 'problem.json')
    writeFileSync(file, JSON.stringify(problem))
    const done = await command(file)
    expect(done.status).toBe(1)
    expect(done.err).toContain('supplier 2 (Bramble Hill Bearings): leadDays')
    expect(done.out).toContain('Open: 8 SEAL-30 for N3 by 2027-01-15: nobody sells it')
    expect(done.out).toContain('BR-6205  6 (6 packs)  £46.80  6 for service hub overhaul')
  })

  it('ends with 2 where the file is no problem or an option cannot be meant', async () => {
    const file = join(folder, 'other.json')
    writeFileSync(file, '{"format": "other"}')
    expect(await command(file)).toMatchObject({ status: 2, out: '' })
    expect(await command(join(folder, 'none.json'))).toMatchObject({ status: 2, out: '' })
    const wrong = await command(EXAMPLE, '--gap', '2')
    expect(wrong).toMatchObject({ status: 2, out: '' })
    expect(wrong.err).toContain('--gap 2 is no share')
  })
})
