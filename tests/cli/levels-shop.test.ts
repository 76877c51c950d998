import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { levelRunBeginUnasked } from '../../lib/db/level-run.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

const COMMAND = fileURLToPath(new URL('../../lib/cli/cotterbook.mjs', import.meta.url))
const workshop = useWorkshop()
const empty = mkdtempSync(join(tmpdir(), 'cotterbook-no-workshop-'))
afterAll(() => rmSync(empty, { recursive: true, force: true }))

function command(folder: string, ...words: string[]) {
  const env: NodeJS.ProcessEnv = { ...process.env, DATA_DIR: folder }
  delete env.DATABASE_URL
  const done = spawnSync(process.execPath, [COMMAND, 'levels', ...words], { encoding: 'utf8', cwd: tmpdir(), env })
  return { status: done.status, out: done.stdout, err: done.stderr }
}

describe('cotterbook levels --shop', { timeout: 120_000 }, () => {
  let bolt = 0

  beforeAll(async () => {
    const nell = await aPerson('Nell Farrow')
    const [binId, machineId] = [await aBin('A1-03', 'Long barn'), await aMachine('M-A')]
    bolt = await aPart({ partClass: 'bolt', costMinor: 40 })
    const monthsAgo = (months: number) => {
      const now = new Date()
      return asWriter(nell, { now: new Date(Date.UTC(now.getUTCFullYear(), now.getUTCMonth() - months, 9, 8)) })
    }
    await stockReceive(monthsAgo(9), { partId: bolt, binId, quantity: 500 })
    for (let months = 8; months >= 1; months--)
      await stockIssue(monthsAgo(months), { partId: bolt, binId, quantity: 4, machineId })
  })

  it('reckons every part and keeps the proposals for the screen; no level is changed', async () => {
    const done = command(workshop.folder, '--shop', '--json')
    expect(done.status, done.err).toBe(0)
    expect(JSON.parse(done.out)).toMatchObject({ state: 'done', parts: 1, changes: 1 })
    const proposal = await database().levelProposal.findUniqueOrThrow({ where: { partId: bolt } })
    // Four a month for eight months: what one job takes is kept at least, and for two years at most.
    expect(proposal.reorderPoint).toBeGreaterThan(0)
    expect(proposal.orderUpTo).toBeGreaterThanOrEqual(4)
    expect(proposal.orderUpTo).toBeLessThanOrEqual(2 * 48 + 4)
    expect(await database().stockLevel.count()).toBe(0)
  })

  it('is refused while another reckoning is at work, without a workshop, and beside a file', async () => {
    await levelRunBeginUnasked(new Date())
    const second = command(workshop.folder, '--shop')
    expect([second.status, second.out]).toEqual([1, ''])
    expect(second.err).toMatch(/reckon/)
    expect(command(empty, '--shop').status).toBe(1)
    expect(command(empty, 'demand.csv', '--shop').status).toBe(2)
  })
})
