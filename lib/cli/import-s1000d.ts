import { randomUUID } from 'node:crypto'
import { readdir, readFile, realpath, stat } from 'node:fs/promises'
import { basename, dirname, extname, join } from 'node:path'
import { COMMAND_LINE } from '../db/command-line.ts'
import { type FigureImported, type FigureRehearsed, figureImport, figureRehearse } from '../db/figure-import.ts'
import { type S1000dModule, s1000dRead } from '../exchange/s1000d.ts'
import { s1000dFigure } from '../exchange/s1000d-figure.ts'
import { svgHotspots } from '../exchange/svg-hotspots.ts'
import { PICTURE_MEGABYTES_MAX, pictureCheck } from '../picture/picture.ts'
import { Refusal } from '../refusal.ts'
import { type Answer, EXIT } from './answer.ts'

export interface S1000dOptions {
  dryRun?: boolean
  json?: boolean
  maker?: string
  model?: string
}

const MODULE_MEGABYTES_MAX = 20
const PICTURES = ['.svg', '.png', '.jpg', '.jpeg', '.tif', '.tiff', '.webp']

function unreadable(file: string, why: string): Refusal {
  return new Refusal('exchange/unreadable', { file, why })
}

/** Data modules of a folder, or the one file that was named. */
async function modulesAt(path: string): Promise<string[]> {
  const facts = await stat(path).catch(() => null)
  if (!facts) throw unreadable(basename(path), 'there is no such file or folder')
  if (facts.isFile()) return [path]
  const names = (await readdir(path)).filter((name) => extname(name).toLowerCase() === '.xml').sort()
  if (names.length === 0) throw unreadable(basename(path), 'the folder has no XML file')
  return names.map((name) => join(path, name))
}

/** The drawing of the module: a plain file beside it whose name is, or begins with, the infoEntityIdent. */
async function pictureBeside(folder: string, file: string, module: S1000dModule) {
  const ident = module.graphics[0]
  if (ident === undefined) throw unreadable(file, 'its figure names no drawing (infoEntityIdent)')
  const names = await readdir(folder)
  const stem = (name: string) => basename(name, extname(name)).toUpperCase()
  const fits = names.filter(
    (name) => stem(name) === ident.toUpperCase() || stem(name).startsWith(`${ident.toUpperCase()}_`),
  )
  const name = PICTURES.flatMap((kind) => fits.filter((one) => extname(one).toLowerCase() === kind))[0]
  if (name === undefined) {
    if (fits.some((one) => extname(one).toLowerCase() === '.cgm'))
      throw unreadable(
        file,
        `its drawing ${ident} is CGM, which is not read; put an SVG or PNG of it under the same name beside it`,
      )
    throw unreadable(file, `its drawing ${ident} is not beside it as SVG, PNG, JPEG, TIFF or WebP`)
  }
  const path = await realpath(join(folder, name))
  if (dirname(path) !== folder || (await stat(path)).size > PICTURE_MEGABYTES_MAX * 1e6)
    throw unreadable(name, `it leads out of the folder or has more than ${PICTURE_MEGABYTES_MAX} MB`)
  return { name, bytes: new Uint8Array(await readFile(path)) }
}

async function figureOf(path: string, options: S1000dOptions) {
  const file = basename(path)
  if ((await stat(path)).size > MODULE_MEGABYTES_MAX * 1e6)
    throw unreadable(file, `it has more than ${MODULE_MEGABYTES_MAX} MB`)
  const module = s1000dRead(await readFile(path, 'utf8'), file)
  const picture = await pictureBeside(await realpath(dirname(path)), file, module)
  const { width, height, mediaType } = await pictureCheck(picture)
  const idents = new Set(module.hotspots.map((hotspot) => hotspot.ident))
  const isDrawing = mediaType === 'image/svg+xml'
  const boxes = isDrawing ? svgHotspots(new TextDecoder().decode(picture.bytes), idents, picture.name) : new Map()
  const { maker, model } = options
  const made = s1000dFigure(module, {
    ...(maker === undefined ? {} : { maker }),
    ...(model === undefined ? {} : { model }),
    picture: { file: picture.name, width, height },
    boxes,
  })
  if (!isDrawing && module.hotspots.length > 0)
    made.warnings.push(
      'the drawing is a scan without places for its hot-spots; the list stands beside it without callouts',
    )
  return { ...made, picture, name: file }
}

/**
 * `cotterbook import s1000d PATH`: one data module, or every one of a folder, each as a figure through the same door as a
 * figure file. All are read before the first is brought in; each comes in as a whole or not at all.
 */
export async function importS1000dCommand(path: string, options: S1000dOptions): Promise<Answer> {
  const figures = []
  for (const one of await modulesAt(path)) figures.push(await figureOf(one, options))
  const done: ({ module: string } & (FigureImported | FigureRehearsed))[] = []
  for (const { file, picture, name, warnings } of figures) {
    const context = { key: `import-s1000d-${randomUUID()}`, personId: COMMAND_LINE, now: new Date() }
    const input = { file, picture, name }
    const result = options.dryRun ? await figureRehearse(context, input) : await figureImport(context, input)
    done.push({ module: name, ...result, warnings: [...warnings, ...result.warnings] })
  }
  const lines = done.flatMap(({ module, made, warnings }) => [
    `${module}: ${options.dryRun ? 'rehearsed, nothing was written' : 'in the parts book'}`,
    `  lines: ${made.lines}; callouts: ${made.callouts}; new parts: ${made.parts}`,
    ...warnings.map((warning) => `  look at: ${warning}`),
  ])
  return { status: EXIT.fine, text: lines.join('\n'), json: { dryRun: options.dryRun === true, figures: done } }
}
