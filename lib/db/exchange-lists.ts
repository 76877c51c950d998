import { partNumberKey } from '../catalogue/part-number.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { pictureCheck } from '../picture/picture.ts'
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
  SHEET_WITHOUT_DRAWING,
  titlesUpdate,
} from './exchange-figures.ts'
import {
  contentOf,
  filled,
  type Line,
  type List,
  type ListRow,
  lineChange,
  lineKey,
  listAdd,
  listOf,
  makerOf,
  partKeyOf,
  rangesTake,
} from './exchange-line.ts'
import { attachingCheck, orderingCheck } from './exchange-list-checks.ts'
import { modelsNamed } from './exchange-models.ts'
import { namedKnown } from './exchange-part-named.ts'
import { type NewPart, partsInsert } from './exchange-parts.ts'
import { type ExchangePlan, type Planner, type Reader, Refused } from './exchange-rows.ts'

/** A figure of the file: the model that names it, the figure that is known, and its list as it will stand. */
interface Group {
  row: ListRow
  modelKey: string
  numberKey: string
  known: KnownFigure | undefined
  /** Shared with other models that have the same figure. */
  list: List
  /** How often each line came up in this figure of this file. */
  seen: Map<string, number>
}

/**
 * Parts lists by model and figure. A figure that is not known gets a sheet that says it has no drawing yet; parts that are not
 * known are made. A line is known by item, part, serial break and side, the second of the same by being the second. Lines that
 * the file does not name stay: jobs point to them.
 */
export const listsPlan: Planner<'parts-lists'> = async (reader, rows, context): Promise<ExchangePlan> => {
  const refused = new Refused()
  const models = await modelsNamed(reader)
  const groups = await groupsOf(reader, rows, models)
  const parts = await partsOf(reader, rows, refused)
  const counts = { new: 0, changed: 0, same: 0 }
  const titles = new Map<number, string>()
  const hasSerials = rows.some((row) => row.values.serials !== undefined)
  for (const row of rows) {
    const { values } = row
    const group = groups.of(row)
    const said = contentOf(row, parts.unit(row), refused)
    const content = said && !hasSerials ? rangesTake(group.list, row, said, refused) : said
    if (!content) continue
    const key = lineKey(content)
    const turn = group.seen.get(key) ?? 0
    group.seen.set(key, turn + 1)
    if (turn > 0 && content !== said)
      refused.at(row, 'serials', `the file names item ${content.item} twice without serials; the list has it once`)
    if (values.attaches !== undefined) group.list.attaching ??= row
    const before = group.list.byKey.get(key)?.[turn]
    const line: Line = before ?? { ...filled(content), id: null, changed: true }
    if (!before) {
      listAdd(group.list, line, key)
      counts.new += 1
    } else counts[lineChange(before, content) ? 'changed' : 'same'] += 1
    if (values.order_item !== undefined) line.ordering = row
    if (group.known && values.figure_title !== undefined && values.figure_title !== group.known.title)
      titles.set(group.known.id, values.figure_title)
  }
  const all = [...groups.all.values()]
  await attachingCheck(reader, all, refused)
  for (const list of new Set(all.map((group) => group.list))) orderingCheck(list, refused)
  const fresh = all.filter((group) => !group.known)
  const picture =
    fresh.length === 0
      ? null
      : await pictureCheck({ bytes: new TextEncoder().encode(SHEET_WITHOUT_DRAWING), name: 'sheet.svg' })
  return {
    refusals: refused.list,
    counts,
    made: { models: models.wanted(), figures: fresh.length, parts: parts.fresh.length, titles: titles.size },
    async write(tx) {
      const modelIds = await models.make(tx)
      await partsInsert(tx, parts.fresh)
      const figures = fresh.map(
        ({ row, modelKey, numberKey }): NewFigure => ({
          modelId: modelIds.get(modelKey)!,
          number: row.values.figure,
          numberKey,
          title: row.values.figure_title ?? `Figure ${row.values.figure}`,
        }),
      )
      const ids = picture ? await figuresMake(tx, context.write.now, picture, figures) : []
      const idOf = new Map<List, number>(fresh.map((group, at) => [group.list, ids[at]!]))
      for (const { known, list } of all) if (known) idOf.set(list, known.id)
      await linesInsert(tx, linesFresh(idOf))
      await linesUpdate(tx, linesChanged(idOf))
      await titlesUpdate(tx, titles)
    },
  }
}

function* linesFresh(lists: ReadonlyMap<List, number>): Generator<NewLine> {
  for (const [{ lines }, figureId] of lists)
    for (const [sort, line] of lines.entries()) if (line.id === null) yield { ...line, figureId, sort }
}

function* linesChanged(lists: ReadonlyMap<List, number>): Generator<KnownLine> {
  for (const [{ lines }, figureId] of lists)
    for (const [sort, line] of lines.entries())
      if (line.id !== null && line.changed) yield { ...line, id: line.id, figureId, sort }
}

async function groupsOf(reader: Reader, rows: readonly ListRow[], models: Awaited<ReturnType<typeof modelsNamed>>) {
  const wanted = new Map<string, readonly [number, string]>()
  for (const { values } of rows) {
    const modelId = models.id(values.model_maker, values.model)
    if (modelId === undefined) continue
    const numberKey = partNumberKey(values.figure)
    wanted.set(`${modelId}/${numberKey}`, [modelId, numberKey])
  }
  const figures = await figuresKnown(reader, [...wanted.values()])
  const byFigure = new Map<number, KnownLine[]>()
  for (const line of await linesKnown(reader, new Set([...figures.values()].map((figure) => figure.id)))) {
    const lines = byFigure.get(line.figureId)
    if (lines) lines.push(line)
    else byFigure.set(line.figureId, [line])
  }
  const lists = new Map([...figures.values()].map((figure) => [figure.id, listOf(byFigure.get(figure.id) ?? [])]))
  const all = new Map<string, Group>()
  return {
    all,
    /** The figure of a row; a figure that comes up first is one more group. */
    of(row: ListRow): Group {
      const { model_maker: maker, model, model_kind: kind, figure } = row.values
      const modelKey = models.want(maker, model, kind)
      const numberKey = partNumberKey(figure)
      const key = `${modelKey}\n${numberKey}`
      const before = all.get(key)
      if (before) return before
      const modelId = models.id(maker, model)
      const known = modelId === undefined ? undefined : figures.get(`${modelId}/${numberKey}`)
      const list = known ? lists.get(known.id)! : listOf([])
      const group = { row, modelKey, numberKey, known, list, seen: new Map() }
      all.set(key, group)
      return group
    },
  }
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
