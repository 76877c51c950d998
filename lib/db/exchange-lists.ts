import { partNumberKey } from '../catalogue/part-number.ts'
import { serialCompare } from '../catalogue/serial-break.ts'
import type { CheckedRow } from '../exchange/check.ts'
import { itemKey, stripOrderCheckLines } from '../figure/strip-order.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { pictureCheck } from '../picture/picture.ts'
import { isRefusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import {
  figuresKnown,
  figuresMake,
  type KnownFigure,
  type KnownLine,
  type LineContent,
  linesInsert,
  linesKnown,
  linesUpdate,
  type NewFigure,
  SHEET_WITHOUT_DRAWING,
  titlesUpdate,
} from './exchange-figures.ts'
import { modelsNamed } from './exchange-models.ts'
import { type NewPart, partKey, partsInsert, partsKnown } from './exchange-parts.ts'
import { asked, type ExchangePlan, type Planner, quantityOf, type Reader, Refused } from './exchange-rows.ts'

type Row = CheckedRow<'parts-lists'>

/** A figure of the file: the model that names it, the figure that is known, and its list as it will stand. */
interface Group {
  row: Row
  modelKey: string
  numberKey: string
  known: KnownFigure | undefined
  /** Shared with other models that have the same figure. */
  list: List
  /** How often each line came up in this figure of this file. */
  seen: Map<string, number>
}

interface Line extends LineContent {
  id: number | null
  changed: boolean
}

interface List {
  lines: Line[]
  byKey: Map<string, Line[]>
  attaching: Row | null
}

const lineKey = (line: Pick<LineContent, 'item' | 'partKey' | 'serialFrom' | 'serialTo' | 'side'>) =>
  JSON.stringify([itemKey(line.item), line.partKey, line.serialFrom, line.serialTo, line.side])

function listAdd(list: List, line: Line): void {
  list.lines.push(line)
  const key = lineKey(line)
  const same = list.byKey.get(key)
  if (same) same.push(line)
  else list.byKey.set(key, [line])
}

function listOf(lines: readonly KnownLine[]): List {
  const list: List = { lines: [], byKey: new Map(), attaching: null }
  for (const line of lines) listAdd(list, { ...line, changed: false })
  return list
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
  for (const { row, group } of groups.rows) {
    const { values } = row
    const content = contentOf(row, parts.unit(row), refused)
    if (!content) continue
    const key = lineKey(content)
    const turn = group.seen.get(key) ?? 0
    group.seen.set(key, turn + 1)
    if (values.attaches !== undefined) group.list.attaching ??= row
    const before = group.list.byKey.get(key)?.[turn]
    if (!before) {
      listAdd(group.list, { ...filled(content), id: null, changed: true })
      counts.new += 1
    } else counts[lineChange(before, content) ? 'changed' : 'same'] += 1
    if (group.known && values.figure_title !== undefined && values.figure_title !== group.known.title)
      titles.set(group.known.id, values.figure_title)
  }
  await attachingCheck(reader, groups.all, refused)
  const fresh = groups.all.filter((group) => !group.known)
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
      for (const { known, list } of groups.all) if (known) idOf.set(list, known.id)
      const lists = [...idOf]
      await linesInsert(
        tx,
        lists.flatMap(([list, figureId]) =>
          list.lines.flatMap((line, sort) => (line.id === null ? [{ ...line, figureId, sort }] : [])),
        ),
      )
      await linesUpdate(
        tx,
        lists.flatMap(([list, figureId]) =>
          list.lines.flatMap((line, sort) =>
            line.id !== null && line.changed ? [{ ...line, id: line.id, figureId, sort }] : [],
          ),
        ),
      )
      await titlesUpdate(tx, titles)
    },
  }
}

async function groupsOf(reader: Reader, rows: readonly Row[], models: Awaited<ReturnType<typeof modelsNamed>>) {
  const heads = rows.map((row) => {
    const { model_maker: maker, model, model_kind: kind, figure } = row.values
    const numberKey = partNumberKey(figure)
    const modelId = models.id(maker, model)
    return { row, modelId, numberKey, modelKey: models.want(maker, model, kind) }
  })
  const wanted = new Map(
    heads.flatMap((head) =>
      head.modelId === undefined
        ? []
        : [[`${head.modelId}/${head.numberKey}`, [head.modelId, head.numberKey] as const]],
    ),
  )
  const figures = await figuresKnown(reader, [...wanted.values()])
  const byFigure = new Map<number, KnownLine[]>()
  for (const line of await linesKnown(reader, new Set([...figures.values()].map((figure) => figure.id)))) {
    const lines = byFigure.get(line.figureId)
    if (lines) lines.push(line)
    else byFigure.set(line.figureId, [line])
  }
  const lists = new Map([...figures.values()].map((figure) => [figure.id, listOf(byFigure.get(figure.id) ?? [])]))
  const all = new Map<string, Group>()
  const grouped = heads.map(({ row, modelId, numberKey, modelKey }) => {
    const key = `${modelKey}\n${numberKey}`
    let group = all.get(key)
    if (!group) {
      const known = modelId === undefined ? undefined : figures.get(`${modelId}/${numberKey}`)
      group = { row, modelKey, numberKey, known, list: known ? lists.get(known.id)! : listOf([]), seen: new Map() }
      all.set(key, group)
    }
    return { row, group }
  })
  return { all: [...all.values()], rows: grouped }
}

const makerOf = (row: Row) => row.values.maker ?? row.values.model_maker
const partKeyOf = (row: Row) => partKey(makerOf(row), row.values.number)

async function partsOf(reader: Reader, rows: readonly Row[], refused: Refused) {
  const numbers = rows.map((row) => row.values.number)
  const units = new Map((await partsKnown(reader, numbers)).map((part) => [part.key, part.unit]))
  const fresh: NewPart[] = []
  return {
    fresh,
    /** The stock unit of the row's part, which is made when it is not known. */
    unit(row: Row): StockUnit {
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

/** What a row says of its line; undefined where it says nothing. */
type Content = Omit<LineContent, 'quantityNote' | 'indenture' | 'attaches' | 'note'> & {
  quantityNote: string | undefined
  indenture: number | undefined
  attaches: string | undefined
  note: string | undefined
}

function contentOf(row: Row, unit: StockUnit, refused: Refused): Content | null {
  const { values } = row
  const quantity = quantityOf(row, 'quantity', values.quantity, unit, refused)
  if (quantity === undefined) return null
  if (quantity === 0)
    refused.at(row, 'quantity', 'must be above 0; where the list prints none, write 1 and AR in quantity_note')
  const [from, to] = [values.serial_from ?? null, values.serial_to ?? null]
  if (from !== null && to !== null && (serialCompare(from, to) ?? 0) > 0)
    refused.at(row, 'serial_to', `${to} lies before serial_from ${from}`)
  return {
    item: values.item,
    partKey: partKeyOf(row),
    description: values.description,
    quantity,
    quantityNote: values.quantity_note,
    indenture: values.indenture,
    attaches: values.attaches,
    serialFrom: from,
    serialTo: to,
    side: values.side ?? null,
    note: values.note,
  }
}

function filled(content: Content): LineContent {
  return {
    ...content,
    quantityNote: content.quantityNote ?? null,
    indenture: content.indenture ?? 1,
    attaches: content.attaches ?? null,
    note: content.note ?? null,
  }
}

/** Takes what the row says into the line; true when that changes it. */
function lineChange(line: Line, content: Content): boolean {
  const given = Object.fromEntries(Object.entries(content).filter(([, value]) => value !== undefined))
  const { item: _item, ...after } = { ...given } as Partial<LineContent>
  const isChanged = (Object.keys(after) as (keyof typeof after)[]).some((name) => after[name] !== line[name])
  if (isChanged) Object.assign(line, after, { changed: true })
  return isChanged
}

/** Attaching parts hold an item of the same list, and do not hold each other in a circle. */
async function attachingCheck(reader: Reader, groups: readonly Group[], refused: Refused): Promise<void> {
  const holding = groups.filter((group) => group.list.attaching !== null)
  const ids = holding.flatMap((group) => group.known?.id ?? [])
  const edges = await asked(
    ids,
    (json) => (reader as Tx).$queryRaw<{ figureId: number | bigint; first: string; then: string }[]>`
      SELECT e."figureId", e."firstItem" AS "first", e."thenItem" AS "then"
      FROM json_each(${json}) k JOIN "StripEdge" e ON e."figureId" = k.value`,
  )
  for (const { list, known } of holding) {
    const row = list.attaching!
    const items = new Set(list.lines.map((line) => itemKey(line.item)))
    const lost = list.lines.find((line) => line.attaches !== null && !items.has(itemKey(line.attaches)))
    const self = list.lines.find((line) => line.attaches !== null && itemKey(line.attaches) === itemKey(line.item))
    if (lost) refused.at(row, 'attaches', `the list of the figure has no item ${lost.attaches}`)
    if (self) refused.at(row, 'attaches', `item ${self.item} cannot hold itself`)
    if (lost || self) continue
    const lines = list.lines.map(({ item, attaches }) => (attaches === null ? { item } : { item, attaches }))
    try {
      stripOrderCheckLines(
        edges.filter((edge) => Number(edge.figureId) === known?.id),
        lines,
      )
    } catch (error) {
      if (!isRefusal(error)) throw error
      refused.at(row, 'attaches', error.happened)
    }
  }
}
