/**
 * The process that works on one file that was brought (exchange-run.ts): looks at it, rehearses it or brings it in, and writes
 * how it goes into the state of the run. Called with the id of the run, the task and who asked for it.
 */
import { readFile, writeFile } from 'node:fs/promises'
import { isRefusal } from '../refusal.ts'
import { databaseClose } from './client.ts'
import { exchangeImport, exchangeLook, exchangeRehearse } from './exchange.ts'
import { type RunState, type RunTask, runFile, runKey, runRead, runStateWrite } from './exchange-run.ts'

/** Refusals shown on the screen; all of them are in the file of refused rows. */
const SHOWN = 200

async function work(
  id: string,
  task: RunTask,
  personId: string,
  tell: (says: string) => void,
): Promise<Partial<RunState>> {
  const { kind, file, state } = await runRead(id)
  const bytes = await readFile(runFile(id, 'upload'))
  if (task === 'look') {
    tell('Reading the file')
    return { step: 'looked', look: await exchangeLook(bytes, file) }
  }
  const context = { key: runKey(id), personId, now: new Date() }
  const right = typeof state.rightRows === 'number' ? { rightRows: state.rightRows } : {}
  const input = { kind, bytes, file, byHand: state.byHand, ...(task === 'import' ? right : {}) }
  if (task === 'import') return { step: 'imported', done: await exchangeImport(context, input, tell) }
  const { refusedFile, ...rehearsed } = await exchangeRehearse(context, input, tell)
  await writeFile(runFile(id, 'refused.csv'), refusedFile)
  return { step: 'rehearsed', rehearsed: { ...rehearsed, refusals: rehearsed.refusals.slice(0, SHOWN) } }
}

/** The state to go back to when a file is refused as a whole: the person matches again or brings another. */
function refused(error: unknown, state: RunState): Partial<RunState> {
  const step = state.look ? 'looked' : 'stopped'
  if (isRefusal(error)) {
    const { happened, next, faults } = error
    return { step, refusal: { happened, next, faults: faults.slice(0, SHOWN) } }
  }
  console.error(error)
  return {
    step,
    refusal: {
      happened: 'The program could not deal with this file.',
      next: 'Nothing was imported. Save it in another format and bring it again.',
      faults: [],
    },
  }
}

async function main(id: string, task: RunTask, personId: string): Promise<void> {
  let { state } = await runRead(id)
  let last: Promise<void> = Promise.resolve()
  const keep = (more: Partial<RunState>) => {
    state = { ...state, ...more, at: new Date().toISOString() }
    const now = state
    last = last.then(() => runStateWrite(id, now))
    return last
  }
  await keep({ pid: process.pid })
  const beat = setInterval(() => void keep({}), 1000)
  try {
    const after = await work(id, task, personId, (says) => void keep({ says }))
    clearInterval(beat)
    await keep({ ...after, pid: 0, says: '' })
  } catch (error) {
    clearInterval(beat)
    await keep({ ...refused(error, state), pid: 0, says: '' })
  } finally {
    await databaseClose()
  }
}

const [id = '', task = '', personId = ''] = process.argv.slice(2)
await main(id, task as RunTask, personId)
