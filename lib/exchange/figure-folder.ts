import type { PictureSent } from '../picture/picture.ts'
import { Refusal } from '../refusal.ts'
import { figureFromTruth, isFigureTruth } from './figure-truth.ts'

/** Files that belong together: a folder on disk, or what somebody chose on screen. */
export interface FigureFiles {
  /** Paths inside the folder, with forward slashes. */
  names: readonly string[]
  read(name: string): Promise<Uint8Array>
}

export interface FigureFolderOptions {
  maker?: string
  model?: string
  /** The file to read where the folder holds several; else figure.json, then truth.json, then the only .json. */
  json?: string
}

export interface FigureFolder {
  /** Name of the file that was read. */
  name: string
  /** A figure file, not yet checked. */
  file: unknown
  picture: PictureSent
  warnings: string[]
}

const JSON_MEGABYTES_MAX = 20

function unreadable(file: string, why: string): Refusal {
  return new Refusal('import/unreadable', { file, why })
}

/** A path that stays inside the folder: no drive, no leading slash, no way up. */
export function pathStaysInside(path: string): boolean {
  if (path === '' || /[\\\0:]/.test(path) || path.startsWith('/')) return false
  return path.split('/').every((step) => step !== '..' && step !== '.' && step !== '')
}

function mainName(files: FigureFiles, wanted: string | undefined): string {
  const json = files.names.filter((name) => /^[^/]+\.json$/i.test(name))
  const chosen =
    wanted ??
    ['figure.json', 'truth.json'].find((name) => json.includes(name)) ??
    (json.length === 1 ? json[0] : undefined)
  if (chosen !== undefined && files.names.includes(chosen)) return chosen
  throw unreadable(
    wanted ?? 'the folder',
    json.length > 1 ? `it holds several: ${json.join(', ')}` : 'it holds no figure.json and no truth.json',
  )
}

/**
 * Reads a figure and its picture from files that belong together: `figure.json` (a figure file) or `truth.json` (a page read by
 * hand, credit from SOURCE.md), and the picture it names. `maker` and `model` take the place of what the file says.
 * Refuses with 'import/unreadable'.
 */
export async function figureFolderFiles(files: FigureFiles, options: FigureFolderOptions = {}): Promise<FigureFolder> {
  const name = mainName(files, options.json)
  const json = parsed(name, await files.read(name))
  let file = json
  const warnings: string[] = []
  if (isFigureTruth(json)) {
    const source = files.names.includes('SOURCE.md')
      ? new TextDecoder().decode(await files.read('SOURCE.md'))
      : undefined
    const read = figureFromTruth(json, { ...options, ...(source === undefined ? {} : { source }) })
    file = read.file
    warnings.push(...read.warnings)
  } else file = renamed(json, options)
  const pictureName = nameOfPicture(name, file)
  if (!pathStaysInside(pictureName)) throw unreadable(name, `picture.file ${pictureName} leads out of the folder`)
  if (!files.names.includes(pictureName)) throw unreadable(name, `its picture ${pictureName} is not there`)
  return { name, file, picture: { name: pictureName, bytes: await files.read(pictureName) }, warnings }
}

function parsed(name: string, bytes: Uint8Array): unknown {
  if (bytes.byteLength > JSON_MEGABYTES_MAX * 1e6) throw unreadable(name, `it has more than ${JSON_MEGABYTES_MAX} MB`)
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch (error) {
    throw unreadable(name, error instanceof Error ? error.message : String(error))
  }
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

function renamed(json: unknown, { maker, model }: FigureFolderOptions): unknown {
  if (!isRecord(json) || !isRecord(json.model)) return json
  const changed = { ...(maker === undefined ? {} : { maker }), ...(model === undefined ? {} : { name: model }) }
  return { ...json, model: { ...json.model, ...changed } }
}

function nameOfPicture(name: string, file: unknown): string {
  const picture = isRecord(file) ? file.picture : undefined
  const named = isRecord(picture) ? picture.file : undefined
  if (typeof named !== 'string') throw unreadable(name, 'it does not say picture.file')
  return named
}
