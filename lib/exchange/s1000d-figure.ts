import type { FigureFileInput } from '../figure/schema.ts'
import type { Box } from '../geometry/svg-box.ts'
import type { S1000dHotspot, S1000dLine, S1000dModule } from './s1000d.ts'

type LineInput = FigureFileInput['lines'][number]

export interface S1000dFigureOptions {
  /** In place of the company that answers for the module. */
  maker?: string
  /** In place of the model identification code. */
  model?: string
  picture: { file: string; width: number; height: number }
  /** Boxes of the hot-spots in the drawing, by application structure ident; empty for a scan. */
  boxes: ReadonlyMap<string, Box>
}

/** A data module as a figure file, and what a person should look at. */
export function s1000dFigure(
  module: S1000dModule,
  options: S1000dFigureOptions,
): { file: FigureFileInput; warnings: string[] } {
  const warnings: string[] = []
  const { picture, boxes } = options
  const callouts = calloutsOf(module, boxes, picture, warnings)
  if (module.graphics.length > 1)
    warnings.push(`the figure has ${module.graphics.length} sheets; the first is kept: ${module.graphics[0]}`)
  return {
    warnings,
    file: {
      format: 'cotterbook-figure',
      version: 1,
      title: module.title.slice(0, 120),
      number: module.number,
      model: { maker: options.maker ?? module.company, name: options.model ?? module.model, kind: 'machine' },
      picture,
      callouts,
      lines: module.lines.map((line, at) => lineOf(module, line, at, warnings)),
    },
  }
}

function calloutsOf(
  module: S1000dModule,
  boxes: ReadonlyMap<string, Box>,
  { width, height }: { width: number; height: number },
  warnings: string[],
): FigureFileInput['callouts'] {
  const items = new Map(module.lines.flatMap((line) => line.hotspotRefs.map((id) => [id, line.item] as const)))
  const listed = new Set(module.lines.map((line) => line.item))
  const itemOf = ({ id, name }: S1000dHotspot) => items.get(id) ?? (listed.has(name) ? name : undefined)
  const lost: string[] = []
  const callouts = module.hotspots.flatMap((hotspot) => {
    const item = itemOf(hotspot)
    const box = boxes.get(hotspot.ident)
    if (item === undefined || !box) {
      lost.push(hotspot.name || hotspot.id)
      return []
    }
    const clip = (value: number, most: number) => Math.min(most, Math.max(0, Math.round(value * 10) / 10))
    return [{ item, x: clip((box.left + box.right) / 2, width), y: clip((box.top + box.bottom) / 2, height), tips: [] }]
  })
  if (lost.length > 0)
    warnings.push(
      `hot-spots without a place in the drawing or an item in the list: ${[...new Set(lost)].slice(0, 20).join(', ')}`,
    )
  return callouts
}

/** A range of serial numbers: 1500~1999; an open end is left empty or written as nines in no standard, so only given ends count. */
function serialBreak(values: readonly string[]): { serialFrom?: string; serialTo?: string } | null {
  const [only] = values
  const range = values.length === 1 && only !== undefined ? /^([^~|]*)~([^~|]*)$/.exec(only.trim()) : null
  if (!range) return null
  const [from = '', to = ''] = [range[1]?.trim(), range[2]?.trim()]
  return { ...(from === '' ? {} : { serialFrom: from }), ...(to === '' ? {} : { serialTo: to }) }
}

function lineOf(module: S1000dModule, line: S1000dLine, at: number, warnings: string[]): LineInput {
  const applics = line.applicRefs.flatMap((id) => module.applics.get(id) ?? [])
  const serials = applics.length === 1 ? serialBreak(applics[0]!.serials) : null
  const words = serials
    ? ''
    : applics
        .map((applic) => applic.text || applic.serials.join(', '))
        .filter(Boolean)
        .join('; ')
  const isNumber = /^\d+(\.\d+)?$/.test(line.quantity) && Number(line.quantity) > 0
  const quantityNote = isNumber ? undefined : (line.quantity || 'AR').slice(0, 20)
  if (quantityNote !== undefined && !/^(AR|REF|RF)$/i.test(quantityNote))
    warnings.push(
      `line ${at + 1} (item ${line.item}): the quantity "${quantityNote}" is no number; 1 is kept with it as a note`,
    )
  const holds = line.isAttaching ? attached(module, at) : undefined
  return {
    item: line.item,
    ...(line.partNumber === '' ? {} : { partNumber: line.partNumber }),
    ...(line.maker === '' ? {} : { maker: line.maker }),
    description: line.description || 'Without description',
    quantity: isNumber ? Number(line.quantity) : 1,
    ...(quantityNote === undefined ? {} : { quantityNote }),
    indenture: line.indenture,
    ...(holds === undefined ? {} : { attaches: holds }),
    ...serials,
    ...(words === '' ? {} : { note: `For ${words}`.slice(0, 300) }),
  }
}

/** Attaching parts stand below what they hold: the nearest line above that is none itself. */
function attached(module: S1000dModule, at: number): string | undefined {
  const item = module.lines[at]!.item
  for (let above = at - 1; above >= 0; above--) {
    const line = module.lines[above]!
    if (!line.isAttaching && line.item !== item) return line.item
  }
  return undefined
}
