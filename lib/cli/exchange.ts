import { createHash, randomUUID } from 'node:crypto'
import { createWriteStream } from 'node:fs'
import { rename, rm, writeFile } from 'node:fs/promises'
import { basename, extname } from 'node:path'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { COMMAND_LINE } from '../db/command-line.ts'
import {
  type ExchangeDone,
  type ExchangeInput,
  type ExchangeRehearsed,
  exchangeImport,
  exchangeRehearse,
  FAULTS_SHOWN,
  refusalSays,
} from '../db/exchange.ts'
import { exchangeExport } from '../db/exchange-export.ts'
import type { WriteContext } from '../db/transaction.ts'
import { KINDS, type Kind } from '../exchange/columns.ts'
import type { ByHand } from '../exchange/match.ts'
import type { TableFormat } from '../exchange/table.ts'
import { formatIs } from '../exchange/write.ts'
import { counted } from '../measure/counted.ts'
import type { Moves } from '../price/moves.ts'
import { moveSays } from '../price/price-list.ts'
import { isRefusal, Refusal } from '../refusal.ts'
import { type Answer, EXIT } from './answer.ts'
import { fileRead } from './file-read.ts'

export interface ImportOptions {
  dryRun?: boolean
  json?: boolean
  /** column=header, once for each column matched by hand. */
  map?: string[]
  /** Where to put the refused rows; else beside nothing, they are only told. */
  refused?: string
  /** Of a price list: takes the rows that can be taken, and leaves the others. */
  rightRows?: boolean
}

function byHandOf(map: readonly string[]): ByHand {
  return Object.fromEntries(
    map.map((pair) => {
      const at = pair.indexOf('=')
      if (at < 1)
        throw new Refusal('exchange/columns', { file: 'the command', why: `--map ${pair} is not column=header` })
      return [pair.slice(0, at).trim(), pair.slice(at + 1).trim()]
    }),
  )
}

function doneSaid(kind: Kind, { rows, counts, made, unused }: ExchangeDone): string[] {
  const makings = Object.entries(made).filter(([, count]) => count > 0)
  return [
    `  ${KINDS[kind].title}: ${counted(rows, 'row')}; ${counts.new} new, ${counts.changed} changed, ${counts.same} as they were`,
    ...(makings.length > 0 ? [`  ${makings.map(([what, count]) => `${what}: ${count}`).join(', ')}`] : []),
    ...(unused.length > 0 ? [`  Not used: ${unused.join(', ')}`] : []),
  ]
}

/** What a price list changes: the sums, and the largest of them. */
function movesSaid({ dearer, cheaper, same, first, shown }: Moves): string[] {
  const lines = shown.map((move) => {
    const [before, after] = [move.beforeMinor, move.afterMinor].map((minor) => (minor / 100).toFixed(2))
    return `    ${move.called}: ${before} to ${after} ${move.currency}, ${moveSays(move)}`
  })
  return [
    `  Against what held before: ${dearer} dearer, ${cheaper} cheaper, ${same} as before, ${first} without a price before`,
    ...lines,
  ]
}

/** `cotterbook import KIND FILE`: brings a file in, or rehearses it. */
export async function importCommand(kind: Kind, path: string, options: ImportOptions): Promise<Answer> {
  const bytes = await fileRead(path)
  const input = { kind, bytes, file: basename(path), byHand: byHandOf(options.map ?? []) }
  const context = { key: `import-${kind}-${randomUUID()}`, personId: COMMAND_LINE, now: new Date() }
  if (!options.dryRun) {
    const rehearsed = options.rightRows ? await exchangeRehearse(context, input) : null
    if (rehearsed?.rightRows) return rightRowsTake(context, input, rehearsed, options.refused)
    const done = await exchangeImport(context, input).catch(async (error: unknown) => {
      if (options.refused !== undefined && isRefusal(error) && error.code === 'exchange/refused')
        await refusedWrite(options.refused, (await exchangeRehearse(context, input)).refusedFile)
      throw error
    })
    return {
      status: EXIT.fine,
      text: [`${input.file} is in.`, ...doneSaid(kind, done)].join('\n'),
      json: { dryRun: false, ...done },
    }
  }
  const { refusedFile, ...rehearsed } = await exchangeRehearse(context, input)
  if (options.refused !== undefined) await refusedWrite(options.refused, refusedFile)
  const { refusals, refusedRows } = rehearsed
  const lines = ['Rehearsed: nothing was written.', ...doneSaid(kind, rehearsed)]
  if (rehearsed.moves) lines.push(...movesSaid(rehearsed.moves))
  if (refusals.length > 0) lines.push(`Rows that cannot be brought in: ${refusedRows}`)
  lines.push(...refusalsSaid(refusals))
  return {
    status: refusals.length > 0 ? EXIT.refused : EXIT.fine,
    text: lines.join('\n'),
    json: { dryRun: true, ...rehearsed },
  }
}

/** Takes the rows that can be taken; what was left out is told as a rehearsal tells it, and answers 1. */
async function rightRowsTake(
  context: WriteContext,
  input: ExchangeInput,
  { refusals, refusedFile, rightRows }: ExchangeRehearsed,
  refused: string | undefined,
): Promise<Answer> {
  const done = await exchangeImport(context, { ...input, rightRows: rightRows! })
  if (refused !== undefined) await refusedWrite(refused, refusedFile)
  const lines = [
    `The right rows of ${input.file} are in, ${counted(done.left ?? 0, 'row')} left out.`,
    ...doneSaid(input.kind, done),
    ...refusalsSaid(refusals),
  ]
  return { status: EXIT.refused, text: lines.join('\n'), json: { dryRun: false, ...done, refusals } }
}

function refusalsSaid(refusals: ExchangeRehearsed['refusals']): string[] {
  const lines = refusals.slice(0, FAULTS_SHOWN).map((refusal) => `  ${refusalSays(refusal)}`)
  return refusals.length > FAULTS_SHOWN ? [...lines, `  and ${refusals.length - FAULTS_SHOWN} more`] : lines
}

async function refusedWrite(path: string, text: string): Promise<void> {
  if (text !== '') await writeFile(path, text)
}

export interface ExportOptions {
  format?: string
  json?: boolean
}

function formatOf(options: ExportOptions, path: string | undefined): TableFormat {
  const named = options.format ?? (path === undefined ? 'csv' : extname(path).slice(1).toLowerCase())
  if (formatIs(named)) return named
  throw new Refusal('exchange/unreadable', {
    file: path ?? 'the output',
    why: `${named || 'no format'} is none of csv, xlsx, json`,
  })
}

/** `cotterbook export KIND [FILE]`: to the file, which is whole or not there, or to the standard output. */
export async function exportCommand(
  kind: Kind,
  path: string | undefined,
  options: ExportOptions,
): Promise<Answer | null> {
  const bytes = Readable.from(exchangeExport(kind, formatOf(options, path)))
  if (path === undefined) {
    for await (const piece of bytes) process.stdout.write(piece as Uint8Array)
    return null
  }
  const beside = `${path}.${process.pid}.part`
  const digest = createHash('sha256')
  let length = 0
  bytes.on('data', (piece: Uint8Array) => {
    digest.update(piece)
    length += piece.length
  })
  try {
    await pipeline(bytes, createWriteStream(beside))
    await rename(beside, path)
  } catch (error) {
    await rm(beside, { force: true })
    throw error
  }
  const json = { kind, file: path, bytes: length, sha256: digest.digest('hex') }
  return { status: EXIT.fine, text: `${KINDS[kind].title}: written to ${path}, ${length} bytes.`, json }
}
