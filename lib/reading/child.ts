/**
 * The reading process: opens files, draws and reads pages, one task after another, for source.ts and page-file.ts. It ends
 * when its parent goes away. Whatever a hostile file does to a decoder happens here and not in the server.
 */
import { isRefusal } from '../refusal.ts'
import type { ReadingAnswers, ReadingReply, ReadingTask } from './message.ts'
import { pageMadeRead } from './page-made-read.ts'
import { pageSourceFacts, pageSourcePage } from './page-source.ts'
import { warmPage } from './warm-page.ts'

function reply(message: ReadingReply): void {
  process.send?.(message)
}

let isWarm = false
async function warmed(): Promise<boolean> {
  if (isWarm) return false
  isWarm = true
  const grey = warmPage()
  await pageMadeRead({ ...grey, grey, runs: [], picture: async () => new Uint8Array() }, () => {})
  return true
}

async function answer(id: number, task: ReadingTask): Promise<ReadingAnswers[keyof ReadingAnswers]> {
  if (task.kind === 'warm') return warmed()
  if (task.kind === 'open') return pageSourceFacts(task.path)
  const step = (share: number, words: string) => reply({ id, says: 'step', share, step: words })
  if (task.kind === 'picture') {
    const page = await pageSourcePage(task.path, task.page)
    return page.picture(task.longestSide)
  }
  step(0, 'Opening the page')
  const page = await pageSourcePage(task.path, task.page)
  const reading = await pageMadeRead(page, step)
  isWarm = true
  return { reading, picture: task.picture ? await page.picture(null) : new Uint8Array() }
}

async function run(id: number, task: ReadingTask): Promise<void> {
  try {
    reply({ id, says: 'done', answer: await answer(id, task) })
  } catch (error) {
    if (isRefusal(error)) reply({ id, says: 'refused', code: error.code, details: error.details, faults: error.faults })
    else reply({ id, says: 'failed', why: error instanceof Error ? (error.stack ?? error.message) : String(error) })
  }
}

let last: Promise<void> = Promise.resolve()
process.on('message', (message: { id: number; task: ReadingTask }) => {
  last = last.then(() => run(message.id, message.task))
})
process.on('disconnect', () => process.exit(0))
