import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import type { Asked, Told } from './reader.ts'

/**
 * Loads the page reader of a checkout and reads what it is asked to, one page after the other. The reader is whatever file of
 * lib/reading offers `pageReadFile(file, { picture })`; it answers the reading, alone or beside the picture it was read from.
 */
type PageReaderWarm = () => Promise<unknown>
type PageReadFile = (file: string, options: { picture: boolean }) => Promise<unknown>

const tell = (told: Told): void => {
  process.send?.(told)
}

async function readerOf(tree: string): Promise<{ where: string; read: PageReadFile; warm: PageReaderWarm }> {
  const folder = join(tree, 'lib/reading')
  if (!existsSync(folder)) throw new Error(`${tree} has no lib/reading`)
  for (const name of readdirSync(folder).sort()) {
    // Looked at before it is loaded: what starts processes or models by being loaded is left alone.
    if (!name.endsWith('.ts') || !/export .*\bpageReadFile\b/.test(readFileSync(join(folder, name), 'utf8'))) continue
    const offered = (await import(pathToFileURL(join(folder, name)).href)) as Record<string, unknown>
    const read = offered.pageReadFile
    const warm = offered.pageReaderWarm
    if (typeof read === 'function')
      return {
        where: `lib/reading/${name}`,
        read: read as PageReadFile,
        warm: typeof warm === 'function' ? (warm as PageReaderWarm) : async () => undefined,
      }
  }
  throw new Error(`no file of ${folder} exports pageReadFile`)
}

try {
  const tree = process.argv[2] ?? '.'
  // The reader starts its own process in the folder it is called from: another checkout would read with this one's.
  process.chdir(tree)
  const { where, read, warm } = await readerOf(tree)
  // As the page desk does it while a file is picked.
  await warm()
  process.on('message', async ({ file }: Asked) => {
    const began = performance.now()
    const seconds = () => (performance.now() - began) / 1000
    try {
      const answer = await read(file, { picture: false })
      const reading = typeof answer === 'object' && answer !== null && 'reading' in answer ? answer.reading : answer
      tell({ reading, seconds: seconds() })
    } catch (why) {
      tell({ fault: why instanceof Error ? (why.stack ?? why.message) : String(why), seconds: seconds() })
    }
  })
  process.on('disconnect', () => process.exit(0))
  tell({ ready: where })
} catch (why) {
  tell({ fault: why instanceof Error ? why.message : String(why), seconds: 0 })
  process.exitCode = 1
  process.disconnect()
}
