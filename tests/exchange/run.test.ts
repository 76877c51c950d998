import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { exchangeImport } from '../../lib/db/exchange.ts'
import {
  RUN_WORKING,
  type Run,
  runFile,
  runKey,
  runRead,
  runStateWrite,
  runsList,
  runTake,
  runWork,
} from '../../lib/db/exchange-run.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { bytes } from './files.ts'

useWorkshop()

const TEXT = 'maker,number,description\nOakmoor,RUN-1,Bush\n'
let turn = 0
function facts(text: string) {
  turn += 1
  const id = `0000000${turn}-0000000000000000000000000000`.slice(0, 33)
  return {
    id,
    kind: 'parts' as const,
    file: 'list.csv',
    bytes: bytes(text).length,
    personId: 'person-wilf',
    startedAt: new Date().toISOString(),
  }
}
async function* pieces(text: string) {
  yield bytes(text)
}

async function settled(id: string): Promise<Run> {
  for (;;) {
    const run = await runRead(id)
    if (!RUN_WORKING.has(run.state.step)) return run
    await new Promise((resolve) => setTimeout(resolve, 100))
  }
}

describe('a file on its way in', () => {
  it('arrives in pieces, is looked at, rehearsed and brought in by a process of its own', async () => {
    const run = facts(TEXT)
    await runTake(run, 0, pieces(TEXT.slice(0, 10)))
    // The line broke: the piece is sent again, and once more.
    await runTake(run, 0, pieces(TEXT.slice(0, 10)))
    await expect(runWork(run.id, 'look', 'person-wilf')).rejects.toThrow('exchange/piece')
    await expect(runTake(run, 20, pieces('x'))).rejects.toThrow('exchange/piece')
    await runTake(run, 10, pieces(TEXT.slice(10)))
    expect(readFileSync(runFile(run.id, 'upload'), 'utf8')).toBe(TEXT)

    await runWork(run.id, 'look', 'person-wilf')
    expect((await settled(run.id)).state.look).toMatchObject({ header: ['maker', 'number', 'description'], rows: 1 })
    await expect(runWork(run.id, 'import', 'person-wilf')).rejects.toThrow('exchange/not-rehearsed')
    await runWork(run.id, 'rehearse', 'person-wilf', {})
    expect((await settled(run.id)).state.rehearsed).toMatchObject({ counts: { new: 1 }, refusedRows: 0 })
    expect(await database().part.count({ where: { numberKey: 'run1' } })).toBe(0)
    await runWork(run.id, 'import', 'person-wilf')
    expect((await settled(run.id)).state).toMatchObject({ step: 'imported', done: { counts: { new: 1 } } })
    expect(await database().part.count({ where: { numberKey: 'run1' } })).toBe(1)
    expect(await runsList()).toMatchObject([{ id: run.id }])
  })

  it('a file that is no table is refused, and the page says why', async () => {
    const run = facts('%PDF-1.7 not a table')
    await runTake(run, 0, pieces('%PDF-1.7 not a table'))
    await runWork(run.id, 'look', 'person-wilf')
    expect((await settled(run.id)).state).toMatchObject({
      step: 'stopped',
      refusal: { happened: expect.stringContaining('PDF') },
    })
  })

  it('a process that was killed is noticed; when its import had come through, the page says so', async () => {
    const run = facts(TEXT)
    await runTake(run, 0, pieces(TEXT))
    const { state } = await runRead(run.id)
    // No process has the number 2 ** 22 + 1: it is above what the system gives out by default.
    const dead = { ...state, step: 'importing' as const, pid: 2 ** 22 + 1, at: new Date().toISOString() }
    await runStateWrite(run.id, dead)
    expect((await runRead(run.id)).state).toMatchObject({
      step: 'stopped',
      refusal: { next: expect.stringContaining('Nothing was imported') },
    })
    await exchangeImport(
      { ...asWriter('person-wilf'), key: runKey(run.id) },
      { kind: 'parts', bytes: bytes(TEXT), file: 'list.csv' },
    )
    expect((await runRead(run.id)).state).toMatchObject({ step: 'imported', done: { counts: { same: 1 } } })
  })

  it('another person cannot send into it, and no id leads out of the folder', async () => {
    const run = facts(TEXT)
    await runTake(run, 0, pieces(TEXT))
    await expect(runTake({ ...run, personId: 'person-else' }, 0, pieces('x'))).rejects.toThrow('exchange/no-such-run')
    await expect(runRead('../../cotterbook.db')).rejects.toThrow('exchange/no-such-run')
    writeFileSync(runFile(run.id, 'state.json'), JSON.stringify((await runRead(run.id)).state))
    expect(existsSync(runFile(run.id, 'facts.json'))).toBe(true)
  })
})
