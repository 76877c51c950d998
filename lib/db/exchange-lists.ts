import { partNumberKey } from '../catalogue/part-number.ts'
import type { StockUnit } from '../measure/quantity.ts'
import {
  figuresKnown,
  figuresMake,
  type KnownFigure,
  type KnownLine,
  linesInsert,
  linesKnown,
  linesUpdate,
  type NewFigure,
  type NewLine,
  titlesUpdate,
} from './exchange-figures.ts'
import {
  contentOf,
  type Line,
  type List,
  type ListRow,
  lineChange,
  lineKey,
  lineNew,
  listAdd,
  listOf,
  makerOf,
  partKeyOf,
  rangesTake,
} from './exchange-line.ts'
import { attachingCheck, orderingCheck } from './exchange-list-checks.ts'
import { type Models, modelsNamed } from './exchange-models.ts'
import { namedKnown } from './exchange-part-named.ts'
import { type NewPart, partsInsert } from './exchange-parts.ts'
import { type Counts, type ExchangePlan, type Planner, type Reader, Refused, slices } from './exchange-rows.ts'

/** How often each line came up in a figure, under one of the models that name it. */
type Seen = Map<string, number>

/** A figure of the file, under every model that names it, and the rows of its list in their order. */
interface Sheet {
  known: KnownFigure | undefined
  /** Under which it comes up first. */
  first: { row: ListRow; modelKey: string; numberKey: string }
  /** Emptied once they stand in the list. */
  rows: { row: ListRow; unit: StockUnit; seen: Seen }[]
}

/** A line that is made, at its place in the list of its figure. */
interface Made {
  sheet: Sheet
  sort: number
  line: Line
}

/** Figures looked at together: their lists are dropped again, but for what is written of them. */
const SHEETS = 200

/**
 * Parts lists by model and figure. A figure that is not known gets a sheet that says it has no drawing yet; parts that are not
 * known are made. A line is known by item, part, serial break and side, the second of the same by being the second. Lines that
 * the file does not name stay: jobs point to them.
 */
export const listsPlan: Planner<'parts-lists'> = async (reader, rows, context): Promise<ExchangePlan> => {
  const refused = new Refused()
  const models = await modelsNamed(reader)
  const parts = await partsOf(reader, rows, refused)
  const sheets = await sheetsOf(reader, rows, models, parts.unit)
  const counts = { new: 0, changed: 0, same: 0 }
  const titles = new Map<number, string>()
  const hasSerials = rows.some((row) => row.values.serials !== undefined)
  const made: Made[] = []
  const changed: (Line & { id: number })[] = []
  for (const some of slices(sheets, SHEETS)) {
    const standing = await linesByFigure(reader, some)
    const listed = some.map((sheet) => {
      const list = listOf((sheet.known && standing.get(sheet.known.id)) ?? [])
      for (const one of sheet.rows) rowPlace(list, one, sheet.known, hasSerials, counts, titles, refused)
      sheet.rows = []
      return { sheet, list, known: sheet.known }
    })
    await attachingCheck(reader, listed, refused)
    for (const { sheet, list } of listed) {
      orderingCheck(list, refused)
      for (const [sort, line] of list.lines.entries()) {
        if (!isKept(line)) made.push({ sheet, sort, line })
        else if (line.changed) changed.push(line)
      }
    }
  }
  const fresh = sheets.filter((sheet) => !sheet.known)
  return {
    refusals: refused.list,
    counts,
    made: { models: models.wanted(), figures: fresh.length, parts: parts.fresh.length, titles: titles.size },
    async write(tx) {
      const modelIds = await models.make(tx)
      await partsInsert(tx, parts.fresh)
      const figures = fresh.map((sheet): NewFigure => {
        const { row, modelKey, numberKey } = sheet.first
        const { figure, figure_title } = row.values
        const title = figure_title ?? `Figure ${figure}`
        return { modelId: modelIds.get(modelKey)!, number: figure, numberKey, title }
      })
      const ids = await figuresMake(tx, context.write.now, figures)
      const idOf = new Map(fresh.map((sheet, at) => [sheet, ids[at]!]))
      await linesInsert(
        tx,
        placed(made, (sheet) => sheet.known?.id ?? idOf.get(sheet)!),
      )
      await linesUpdate(tx, changed)
      await titlesUpdate(tx, titles)
    },
  }
}

const isKept = (line: Line): line is Line & { id: number } => line.id !== null

function* placed(lines: readonly Made[], figureOf: (sheet: Sheet) => number): Generator<NewLine> {
  for (const { sheet, sort, line } of lines) yield { ...line, figureId: figureOf(sheet), sort }
}

/** Takes one row into the list of its figure. */
function rowPlace(
  list: List,
  { row, unit, seen }: Sheet['rows'][number],
  known: KnownFigure | undefined,
  hasSerials: boolean,
  counts: Counts,
  titles: Map<number, string>,
  refused: Refused,
): void {
  const { values } = row
  const said = contentOf(row, unit, refused)
  const content = said && !hasSerials ? rangesTake(list, row, said, refused) : said
  if (!content) return
  const key = lineKey(content)
  const turn = seen.get(key) ?? 0
  seen.set(key, turn + 1)
  if (turn > 0 && content !== said)
    refused.at(row, 'serials', `the file names item ${content.item} twice without serials; the list has it once`)
  if (values.attaches !== undefined) list.attaching ??= row
  const before = list.byKey.get(key)?.[turn]
  const line: Line = before ?? lineNew(content)
  if (!before) {
    listAdd(list, line, key)
    counts.new += 1
  } else counts[lineChange(before, content) ? 'changed' : 'same'] += 1
  if (values.order_item !== undefined) line.ordering = row
  if (!known || values.figure_title === undefined) return
  // Where rows differ the last one counts.
  if (values.figure_title === known.title) titles.delete(known.id)
  else titles.set(known.id, values.figure_title)
}

async function linesByFigure(reader: Reader, sheets: readonly Sheet[]): Promise<Map<number, KnownLine[]>> {
  const lists = new Map<number, KnownLine[]>()
  for (const line of await linesKnown(reader, new Set(sheets.flatMap(({ known }) => known?.id ?? [])))) {
    const lines = lists.get(line.figureId)
    if (lines) lines.push(line)
    else lists.set(line.figureId, [line])
  }
  return lists
}

/** The figures of the file in the order they first come up; models that share a figure share its list. */
async function sheetsOf(
  reader: Reader,
  rows: readonly ListRow[],
  models: Models,
  unitOf: (row: ListRow) => StockUnit,
): Promise<Sheet[]> {
  const wanted = new Map<string, readonly [number, string]>()
  for (const { values } of rows) {
    const modelId = models.id(values.model_maker, values.model)
    if (modelId === undefined) continue
    const numberKey = partNumberKey(values.figure)
    wanted.set(`${modelId}/${numberKey}`, [modelId, numberKey])
  }
  const figures = await figuresKnown(reader, [...wanted.values()])
  const named = new Map<string, { seen: Seen; sheet: Sheet }>()
  const byFigure = new Map<number, Sheet>()
  const sheets: Sheet[] = []
  const sheetFor = (known: KnownFigure | undefined, first: Sheet['first']): Sheet => {
    const before = known && byFigure.get(known.id)
    if (before) return before
    const sheet = { known, first, rows: [] }
    sheets.push(sheet)
    if (known) byFigure.set(known.id, sheet)
    return sheet
  }
  for (const row of rows) {
    const { model_maker: maker, model, model_kind: kind, figure } = row.values
    const modelKey = models.want(maker, model, kind)
    const numberKey = partNumberKey(figure)
    const key = `${modelKey}\n${numberKey}`
    let found = named.get(key)
    if (!found) {
      const modelId = models.id(maker, model)
      const known = modelId === undefined ? undefined : figures.get(`${modelId}/${numberKey}`)
      found = { seen: new Map(), sheet: sheetFor(known, { row, modelKey, numberKey }) }
      named.set(key, found)
    }
    found.sheet.rows.push({ row, unit: unitOf(row), seen: found.seen })
  }
  return sheets
}

async function partsOf(reader: Reader, rows: readonly ListRow[], refused: Refused) {
  const keys = new Set<string>()
  for (const row of rows) keys.add(partNumberKey(row.values.number))
  const units = new Map<string, StockUnit>()
  for (const [key, same] of await namedKnown(reader, keys))
    for (const { makerKey, unit } of same) units.set(`${makerKey}/${key}`, unit)
  const fresh: NewPart[] = []
  return {
    fresh,
    /** The stock unit of the row's part, which is made when it is not known. */
    unit(row: ListRow): StockUnit {
      const { values } = row
      const key = partKeyOf(row)
      const known = units.get(key)
      if (known !== undefined) {
        if (values.unit !== undefined && values.unit !== known)
          refused.at(row, 'unit', `is ${values.unit}, but the part is kept by ${known}`)
        return known
      }
      const unit = values.unit ?? 'each'
      units.set(key, unit)
      fresh.push({
        maker: makerOf(row),
        number: values.number,
        description: values.description,
        partClass: values.class ?? 'other',
        unit,
        criticality: 'essential',
        costMinor: null,
        facts: '{}',
      })
      return unit
    },
  }
}
