import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { commandHere, commandInstalled } from '../support/command.ts'

const folder = mkdtempSync(join(tmpdir(), 'cotterbook-demand-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function file(name: string, ...lines: string[]): string {
  const path = join(folder, name)
  writeFileSync(path, `${lines.join('\n')}\n`)
  return path
}

const command = (...words: string[]) => commandHere(words)

// Series "by_hand" and "every_third" of the reference, worked by hand: demand/expected/short.csv.
const rows = ['0 0 2 0 4 0 0 1 3 0', '0 0 3 0 0 3 0 0 3 0'].flatMap((series, part) =>
  series.split(' ').map((quantity, at) => `${['hand', 'third'][part]},${at + 1},${quantity}`),
)

describe('cotterbook demand and backtest', { timeout: 120_000 }, () => {
  const good = file('good.csv', 'id,period,quantity', ...rows)

  it('says class, forecasts and the distribution of what is to come', async () => {
    const done = commandInstalled(['demand', good, '--json', '--horizon', '2'])
    expect(done.status, done.err).toBe(0)
    const { parts } = JSON.parse(done.out) as { parts: Record<string, number | string>[] }
    expect(parts[0]).toMatchObject({
      id: 'hand',
      periods: 10,
      class: 'intermittent',
      adi: 2.5,
      learned_from: 'all parts',
    })
    expect(parts[0]!.cv2).toBeCloseTo(0.266666666667, 10)
    expect(parts[0]!.croston).toBeCloseTo(0.798823096726738, 12)
    expect(parts[0]!.sba).toBeCloseTo(0.758881941890401, 12)
    expect(parts[0]!.tsb).toBeCloseTo(1.0433960326033, 12)
    expect(parts[0]!.ses).toBeCloseTo(0.68285538, 12)
    expect(parts[0]!.family).toBe('compound-counts')
    expect(parts[0]!.p95).toBeGreaterThan(parts[0]!.p50 as number)
    const asCsv = await command('demand', good)
    expect(asCsv.out.split('\n')[0]).toContain('id,periods,class,adi,cv2,croston,sba,tsb,ses')
    expect(asCsv.out.trim().split('\n')).toHaveLength(3)
  })

  it('runs the shelf with every method, or with one, and claims beside what came', async () => {
    const done = await command(
      'backtest',
      good,
      '--train',
      '6',
      '--targets',
      '0.95,0.9',
      '--method',
      'installed-base',
      '--json',
    )
    expect(done.status, done.err).toBe(0)
    const answer = JSON.parse(done.out) as { periodsJudged: number; rows: Record<string, number | string>[] }
    expect(answer.periodsJudged).toBe(4)
    expect(answer.rows.map(({ method, target }) => [method, target])).toEqual([
      ['installed-base', 0.9],
      ['installed-base', 0.95],
    ])
    for (const row of answer.rows) expect(row.claimed_fill).toBeGreaterThanOrEqual(row.target as number)
    const all = await command('backtest', good, '--train', '6', '--targets', '0.9')
    expect(
      all.out
        .trim()
        .split('\n')
        .slice(1)
        .map((line) => line.split(',')[0]),
    ).toEqual([...['normal', 'poisson-sba', 'negbin-sba', 'bootstrap', 'installed-base', 'installed-base-spread']])
  })

  it('judges each class by itself, and says which method gives it a service with the least on the shelf', async () => {
    const classed = [...'123456789'].flatMap((part) =>
      Array.from({ length: 24 }, (_, at) => {
        const isSeal = Number(part) % 2 === 0
        const quantity = (at * Number(part)) % (isSeal ? 7 : 4) === 0 ? 2 : 0
        return `${part},${at + 1},${quantity},${isSeal ? 'seal' : 'pin'}`
      }),
    )
    const done = await command(
      ...['backtest', file('classed.csv', 'id,period,quantity,class', ...classed)],
      ...['--train', '12', '--targets', '0.9', '--choose', '--json'],
    )
    expect(done.status, done.err).toBe(0)
    const { rows, choices } = JSON.parse(done.out) as Record<'rows' | 'choices', Record<string, number | string>[]>
    expect(choices.map((one) => [one.class, one.service])).toEqual([
      [null, 0.9],
      ['pin', 0.9],
      ['seal', 0.9],
    ])
    for (const { class: of, service, method, needs, next_method: next, next_needs: more } of choices) {
      expect([method, next]).not.toContain(null)
      expect(more).toBeGreaterThanOrEqual(needs as number)
      // No single target of any method gave the service with less.
      const enough = rows.filter((row) => row.class === of && (row.fill as number) >= (service as number))
      expect(needs).toBeLessThanOrEqual(Math.min(...enough.map((row) => row.stock as number)) + 1e-6)
    }
    // Nine parts: what all have is the mean of five and four.
    const stock = (of: string | null) =>
      rows.find((row) => row.class === of && row.method === 'normal' && row.target === 0.9)!.stock as number
    expect(stock(null)).toBeCloseTo((5 * stock('pin') + 4 * stock('seal')) / 9, 5)
  })

  it('names bad rows with column and reason, answers nothing and ends with 2', async () => {
    const bad = file('bad.csv', 'id,period,quantity', 'a,2026-01,3', 'a,2026-02,three', ',2026-02,1')
    for (const words of [
      ['demand', bad],
      ['backtest', bad, '--train', '1'],
    ]) {
      const done = await command(...words)
      expect(done.status).toBe(2)
      expect(done.out).toBe('')
      expect(done.err).toContain('row 3, quantity: "three" is no number from 0')
      expect(done.err).toContain('row 4, id: is empty')
      expect(done.err).toContain('Next: ')
    }
    const without = await command('demand', file('without.csv', 'id,amount', 'a,1'))
    expect(without.status).toBe(2)
    expect(without.err).toContain('row 1, period: is not in the header')
  })

  it('takes no cell for left out: a decimal comma in a file with commas is named, not read as two numbers', async () => {
    const comma = file('comma.csv', 'id,period,quantity', 'a,1,1,5', 'a,2,2', 'a,3,many')
    for (const words of [
      ['demand', comma],
      ['levels', comma, '--lead', '1'],
      ['backtest', comma, '--train', '1'],
    ]) {
      const done = await command(...words)
      expect(done, words[0]).toMatchObject({ status: 2, out: '' })
      expect(done.err).toContain('row 2, column 4: "5" stands under no name of the header; a decimal comma')
      expect(done.err).toContain('row 4, quantity: "many"')
    }
    const semicolons = await command('demand', file('semi.csv', 'id;period;quantity;', 'a;1;1;x'))
    expect(semicolons.err).toContain('row 2, column 4: "x" stands under no name of the header\n')
    // What a spreadsheet leaves behind its last column says nothing.
    expect((await command('demand', file('blank.csv', 'id,period,quantity,', 'a,1,1,,', 'a,2,0, '))).status).toBe(0)
  })

  it('says that six digits were read as months', async () => {
    const rows = ['a,202411,1', 'a,202412,2', 'a,202501,1', 'a,202502,3']
    const months = file('months.csv', 'id,period,quantity', ...rows)
    for (const words of [
      ['demand', months],
      ['levels', months, '--lead', '1'],
      ['backtest', months, '--train', '2'],
    ]) {
      const done = await command(...words)
      expect(done, words[0]).toMatchObject({
        status: 0,
        err: 'Periods such as 202411 were read as months: 2024-11 to 2025-02.\n',
      })
      const json = await command(...words, '--json')
      expect(json.err).toBe('')
      expect(JSON.parse(json.out).periods).toEqual({ kind: 'yyyymm', first: '2024-11', last: '2025-02' })
    }
  })

  it('refuses what cannot be meant, and says what can', async () => {
    const wrong = await command('backtest', good, '--train', '0', '--targets', '1.5', '--method', 'guess')
    expect(wrong.status).toBe(2)
    expect(wrong.err).toContain('--train 0 is no whole number from 1.')
    expect(wrong.err).toContain('--targets 1.5')
    expect(wrong.err).toContain('--method guess is none of normal')
    expect((await command('backtest', good, '--train', '10')).err).toContain('leaves none to judge')
    expect((await command('demand', good, '--horizon', 'soon')).status).toBe(2)
  })
})
