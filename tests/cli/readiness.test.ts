import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { commandHere, commandInstalled } from '../support/command.ts'
import { modelsPlan } from '../support/models-plan.ts'

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
    const unknown = await command(JSON.stringify({ ...plan, currency: 'QQQ' }))
    expect(unknown).toMatchObject({ status: 2, out: '' })
    expect(unknown.err).toContain('currency: is no currency of ISO 4217')
    expect(await command(EXAMPLE, '--budget', 'much')).toMatchObject({ status: 2, out: '' })
    expect(await command(EXAMPLE, '--runs', '3')).toMatchObject({ status: 2, out: '' })
  })

  it('takes parts apart where one model shares causes and looks, names them, and does not call its answer exact', async () => {
    const fleet = JSON.stringify(modelsPlan(30))
    const done = await command(fleet, '--json')
    expect(done.status, done.err).toBe(0)
    const answer = JSON.parse(done.out)
    expect(answer).toMatchObject({ isExact: false, error: 0, simulated: null })
    expect(answer.partsApart.length).toBeGreaterThan(0)
    const plain = await command(fleet)
    expect(plain.out).toContain('none waits for a part is at least ')
    expect(plain.out).toContain(`tie them to others: ${answer.partsApart[0]}, `)
    expect(plain.out).toContain('are at least so good')
  })

  it('plays the whole plan beside it with all that is needed together, and with --together takes nothing apart', async () => {
    // A gearbox is opened in each of sixty services with one chance in a hundred: a gasket and a seal each. Two of both are there, so
    // no service waits where at most two are opened: binomial, 60 trials of 0.01, at most 2 (worked by a sum here).
    const jobs = Array.from({ length: 60 }, (_, at) => ({
      id: `J${at}`,
      machine: 'M',
      causes: [{ id: 'box', chance: 0.01 }],
      lines: [
        { part: 'gasket', cause: 'box' },
        { part: 'seal', cause: 'box' },
      ],
    }))
    const season = { today: '2026-11-02', season: { from: '2026-11-16', until: '2027-03-12' }, machines: [{ id: 'M' }] }
    const offer = { supplier: 'S', price: 100, free: 2 }
    const plan = JSON.stringify({
      ...season,
      suppliers: [{ id: 'S', leadDays: 5 }],
      parts: [
        { id: 'gasket', ...offer },
        { id: 'seal', ...offer },
      ],
      jobs,
    })
    let atMostTwo = 0
    for (let k = 0, chance = 0.99 ** 60; k <= 2; k++, chance *= ((60 - k + 1) / k) * (0.01 / 0.99)) atMostTwo += chance
    const apart = JSON.parse((await command(plan, '--json', '--runs', '5000')).out)
    expect(apart.partsApart).toEqual(['gasket', 'seal'])
    // Each by itself is short as often; both together are taken for rarer than they are.
    expect(apart.readiness).toBeCloseTo(atMostTwo ** 2, 9)
    expect(Math.abs(apart.simulated.readiness - atMostTwo)).toBeLessThanOrEqual(4 * apart.simulated.error)
    const together = JSON.parse((await command(plan, '--json', '--together')).out)
    expect(together).toMatchObject({ partsApart: [], isExact: false })
    expect(together.error).toBeGreaterThan(0)
    expect(Math.abs(together.readiness - atMostTwo)).toBeLessThanOrEqual(4 * together.error)
  })
})
