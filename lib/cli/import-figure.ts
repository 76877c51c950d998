import { randomUUID } from 'node:crypto'
import { readdir, readFile, realpath, stat } from 'node:fs/promises'
import { basename, dirname, join, sep } from 'node:path'
import { COMMAND_LINE } from '../db/command-line.ts'
import { type FigureImported, type FigureRehearsed, figureImport, figureRehearse } from '../db/figure-import.ts'
import { type FigureFolder, type FigureFolderOptions, figureFolderFiles } from '../exchange/figure-folder.ts'
import { PICTURE_MEGABYTES_MAX } from '../picture/picture.ts'
import { isRefusal, Refusal } from '../refusal.ts'

export interface ImportFigureOptions extends Pick<FigureFolderOptions, 'maker' | 'model'> {
  dryRun?: boolean
  json?: boolean
}

const NAMES_MAX = 2000

/** Paths of the plain files in a folder, one level of folders deep; links that lead elsewhere are not followed. */
async function namesIn(folder: string): Promise<string[]> {
  const names: string[] = []
  for (const entry of await readdir(folder, { withFileTypes: true })) {
    if (entry.isDirectory()) {
      const inner = await readdir(join(folder, entry.name), { withFileTypes: true })
      names.push(...inner.filter((one) => !one.isDirectory()).map((one) => `${entry.name}/${one.name}`))
    } else names.push(entry.name)
    if (names.length > NAMES_MAX) break
  }
  return names
}

/** Reads one file, after making sure that it is a plain file, lies in the folder and is not larger than a picture may be. */
async function readInside(folder: string, name: string): Promise<Uint8Array> {
  const path = await realpath(join(folder, name)).catch(() => {
    throw new Refusal('import/unreadable', { file: name, why: 'it is not there' })
  })
  const facts = await stat(path)
  const why = !path.startsWith(folder + sep)
    ? 'it leads out of the folder'
    : !facts.isFile()
      ? 'it is no plain file'
      : facts.size > PICTURE_MEGABYTES_MAX * 1e6
        ? `it has more than ${PICTURE_MEGABYTES_MAX} MB`
        : null
  if (why !== null) throw new Refusal('import/unreadable', { file: name, why })
  return readFile(path)
}

/** The figure and picture of a folder, or of a JSON file with its picture beside it. Refuses with 'import/unreadable'. */
export async function figureFolderRead(path: string, options: FigureFolderOptions = {}): Promise<FigureFolder> {
  const isFolder = (await stat(path)).isDirectory()
  const folder = await realpath(isFolder ? path : dirname(path))
  const files = { names: await namesIn(folder), read: (name: string) => readInside(folder, name) }
  return figureFolderFiles(files, isFolder ? options : { ...options, json: basename(path) })
}

/**
 * `cotterbook import figure PATH`: brings the figure into the parts book and says what was made. Answers the exit code:
 * 0 done, 1 refused, 2 no such path.
 */
export async function importFigureCommand(path: string, options: ImportFigureOptions = {}): Promise<number> {
  if (!(await stat(path).catch(() => null))) {
    process.stderr.write(
      `There is no ${path}.\nNext: name a folder with figure.json or truth.json and its picture, or the JSON file.\n`,
    )
    return 2
  }
  try {
    const { dryRun, json, ...names } = options
    const read = await figureFolderRead(path, names)
    const context = { key: `import-figure-${randomUUID()}`, personId: COMMAND_LINE, now: new Date() }
    const done = dryRun ? await figureRehearse(context, read) : await figureImport(context, read)
    const result = { ...done, warnings: [...read.warnings, ...done.warnings] }
    process.stdout.write(json ? `${JSON.stringify({ dryRun: dryRun === true, ...result }, null, 2)}\n` : said(result))
    return 0
  } catch (error) {
    if (!isRefusal(error)) throw error
    process.stderr.write(options.json ? `${JSON.stringify(problem(error), null, 2)}\n` : refusalSaid(error))
    return 1
  }
}

function problem({ code, happened, faults, next }: Refusal) {
  return { code, happened, faults, next }
}

function refusalSaid({ happened, faults, next }: Refusal): string {
  return [happened, ...faults.map((fault) => `  ${fault}`), `Next: ${next}`, ''].join('\n')
}

function said(result: FigureImported | FigureRehearsed): string {
  const { made, partsKnown, warnings } = result
  const lines = [
    'figureId' in result ? `Figure ${result.figureId} is in the parts book.` : 'Rehearsed: nothing was written.',
    `  machine model: ${made.model ? 'new' : 'known'}`,
    `  parts: ${made.parts} new, ${partsKnown} known`,
    `  lines: ${made.lines}; callouts: ${made.callouts}; leader lines: ${made.leaderEnds}; strip order steps: ${made.stripSteps}`,
  ]
  if (warnings.length > 0) lines.push('Look at:', ...warnings.map((warning) => `  ${warning}`))
  return `${lines.join('\n')}\n`
}
