import { writeSync } from 'node:fs'
import { stockIssue } from '../../lib/db/stock.ts'

/**
 * Takes single pieces from a bin without end, a few at a time, until it is killed. Says each request before it is sent and
 * each movement after it was acknowledged, straight to the pipe, so that nothing said is lost with the process.
 */
const [personId = '', partId = '', binId = '', round = ''] = process.argv.slice(2)

async function client(name: string): Promise<never> {
  for (let turn = 0; ; turn++) {
    const key = `kill-${round}-${name}-${turn}`
    writeSync(1, `sent ${key}\n`)
    const placed = await stockIssue(
      { key, personId, now: new Date('2026-11-02T08:15:00Z') },
      { partId: Number(partId), binId: Number(binId), quantity: 1, reason: 'bench work' },
    )
    writeSync(1, `done ${key} ${placed.movementId}\n`)
  }
}

await Promise.all(['a', 'b', 'c', 'd'].map(client))
