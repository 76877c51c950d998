import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { commandHere, commandInstalled } from '../support/command.ts'

const folder = mkdtempSync(join(tmpdir(), 'cotterbook-readiness-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const EXAMPLE = /```json\n([\s\S]*?)```/.exec(
  readFileSync(new URL('../../docs/readiness.md', import.meta.url), 'utf8'),
)![1]!

function asked(text: string, ...words: string[]) {
  const file = join(folder, 'plan.json')
  writeFileSync(file, text)
  return ['readiness', file, ...words]
}
const command = (text: string, ...words: string[]) => commandHere(asked(text, ...words))

describe('cotterbook readiness', { timeout: 120_000 }, () => {
  it('answers the example of its page: chances, what a budget buys and by when, and a season by dice beside it', async () => {
    const done = commandInstalled(asked(EXAMPLE, '--json', '--budget', '60', '--runs', '20000', '--seed', 'x'))
    expect(done.status, done.err).toBe(0)
    const answer = JSON.parse(done.out)
    expect(answer).toMatchObject({ isExact: true, error: 0, faults: [], partsNotToBeHad: [] })
    expect(answer.jobs.map(({ id }: { id: string }) => id)).toEqual(['service 1', 'service 2'])
    expect(Math.abs(answer.simulated.readiness - answer.readiness)).toBeLessThanOrEqual(4 * answer.simulated.error)
    expect(answer.buy.readiness).toBeGreaterThan(answer.readiness)
    expect(answer.buy.spent).toBeLessThanOrEqual(6000)
    expect(answer.buy.orders).toMatchObject([{ supplier: 'hollin', lastDay: '2026-11-19', isLate: false }])
    const plain = await command(EXAMPLE, '--budget', '60')
    expect(plain.out).toContain('2 jobs on 2 machines: the chance that none waits for a part is ')
    expect(plain.out).toMatch(/hollin, £[\d.]+, order by 19 Nov 2026/)
  })

  it('says faults on stderr, answers the rest and ends with 1; what is no plan, or wrong usage, ends with 2', async () => {
    const plan = JSON.parse(EXAMPLE)
    plan.jobs[1].lines[0].quantity = -2
    const faulty = await command(JSON.stringify(plan))
    expect(faulty.status).toBe(1)
    expect(faulty.err).toContain('job service 2, line 1, quantity: must be a whole number from 1')
    expect(faulty.out).toContain('Left out for faults of the plan: service 2.')
    expect(JSON.parse((await command(JSON.stringify(plan), '--json')).out).faults).toHaveLength(1)
    expect(await command('{ "today": ')).toMatchObject({ status: 2, out: '' })
    expect(await command('{}')).toMatchObject({ status: 2, out: '' })
    expect(await command(EXAMPLE, '--budget', 'much')).toMatchObject({ status: 2, out: '' })
    expect(await command(EXAMPLE, '--runs', '3')).toMatchObject({ status: 2, out: '' })
  })
})
