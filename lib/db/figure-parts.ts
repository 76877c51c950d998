import { partNumberKey } from '../catalogue/part-number.ts'
import { partFound } from '../catalogue/part-search.ts'
import type { FigureFile, PartsListLineFile } from '../figure/schema.ts'
import { itemKey } from '../figure/strip-order.ts'
import { must } from '../must.ts'
import { Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'

/** A statement takes a limited number of values. */
const SLICE = 500

interface FigureParts {
  /** Part of each line, in list order. */
  ids: number[]
  made: number
  known: number
  warnings: string[]
}

interface KnownPart {
  id: number
  unit: string
  description: string
}

type NewPart = ReturnType<typeof newPart>

/**
 * Finds or makes the part of every line. A part is known by maker and number (the line's maker, else the model's). A line for
 * which the book prints no number gets FIGURE-ITEM under the model's maker, or FIGURE-ITEM-2 and so on where a part has that
 * number already. Refuses with 'import/refused' when a known part is kept by another unit than the file says.
 */
export async function figureParts(tx: Tx, file: FigureFile, name: string): Promise<FigureParts> {
  const found = await partsPrinted(tx, file)
  const taken = new Set([...found.keys(), ...(await numbersLikeOwn(tx, file))])
  const fresh = new Map<string, NewPart>()
  const tried = new Map<string, number>()
  const keys: string[] = []
  const [faults, warnings]: [string[], string[]] = [[], []]
  // Printed numbers first, so that a number made up for another line never takes one of them.
  const printedFirst = (a: number, b: number) =>
    Number(file.lines[a]!.partNumber === undefined) - Number(file.lines[b]!.partNumber === undefined) || a - b
  for (const index of [...file.lines.keys()].sort(printedFirst)) {
    const line = file.lines[index]!
    const maker = line.partNumber === undefined ? file.model.maker : (line.maker ?? file.model.maker)
    const number = line.partNumber ?? ownNumber(file, line, taken, tried)
    const key = `${partNumberKey(maker)}/${partNumberKey(number)}`
    keys[index] = key
    const part = found.get(key) ?? fresh.get(key)
    if (!part) {
      fresh.set(key, newPart(maker, number, line))
      taken.add(key)
      continue
    }
    const where = `line ${index + 1} (item ${line.item})`
    if (part.unit !== line.unit)
      faults.push(`${where}, unit: ${number} is kept by ${part.unit}, the file says ${line.unit}`)
    if (part.description !== line.description)
      warnings.push(
        `${where}: ${maker} ${number} is known as "${part.description}"; the line keeps "${line.description}"`,
      )
  }
  if (faults.length > 0) throw new Refusal('import/refused', { count: faults.length, file: name }, { faults })
  const known = new Set(keys.filter((key) => found.has(key))).size
  const idByKey = new Map([...found].map(([key, part]) => [key, part.id]))
  for (const [key, id] of await partsMake(tx, [...fresh.values()])) idByKey.set(key, id)
  const ids = keys.map((key) => idByKey.get(key) ?? 0)
  must(ids.length === file.lines.length && !ids.includes(0), 'every line of a parts list has a part')
  return { ids, made: fresh.size, known, warnings }
}

function newPart(maker: string, number: string, line: PartsListLineFile) {
  const { description, partClass, unit } = line
  return {
    maker,
    number,
    description,
    partClass,
    unit,
    facts: JSON.stringify(line.partFacts),
    ...partFound({ number, maker, description }),
  }
}

async function partsMake(tx: Tx, parts: readonly NewPart[]): Promise<[key: string, id: number][]> {
  const made: [string, number][] = []
  for (let at = 0; at < parts.length; at += SLICE) {
    const select = { id: true, makerKey: true, numberKey: true } as const
    const rows = await tx.part.createManyAndReturn({ data: parts.slice(at, at + SLICE), select })
    for (const { id, makerKey, numberKey } of rows) made.push([`${makerKey}/${numberKey}`, id])
  }
  return made
}

/** The parts that the printed numbers name and the catalogue has, by maker key and number key. */
async function partsPrinted(tx: Tx, file: FigureFile): Promise<Map<string, KnownPart>> {
  const keys = file.lines.flatMap((line) => (line.partNumber === undefined ? [] : [partNumberKey(line.partNumber)]))
  const wanted = [...new Set(keys)]
  const found = new Map<string, KnownPart>()
  for (let at = 0; at < wanted.length; at += SLICE) {
    const rows = await tx.part.findMany({
      where: { numberKey: { in: wanted.slice(at, at + SLICE) } },
      select: { id: true, makerKey: true, numberKey: true, unit: true, description: true },
    })
    for (const { makerKey, numberKey, ...part } of rows) found.set(`${makerKey}/${numberKey}`, part)
  }
  return found
}

/** Keys of the maker's parts whose number begins with the figure's: the only ones a number of our own could meet. */
async function numbersLikeOwn(tx: Tx, file: FigureFile): Promise<string[]> {
  if (file.lines.every((line) => line.partNumber !== undefined)) return []
  const makerKey = partNumberKey(file.model.maker)
  const rows = await tx.part.findMany({
    where: { makerKey, numberKey: { startsWith: partNumberKey(file.number) } },
    select: { numberKey: true },
  })
  return rows.map((row) => `${makerKey}/${row.numberKey}`)
}

/** `tried` keeps how far each number was counted, so that a list of one item a thousand times is not counted from one each time. */
function ownNumber(
  file: FigureFile,
  line: PartsListLineFile,
  taken: ReadonlySet<string>,
  tried: Map<string, number>,
): string {
  const plain = `${file.number}-${itemKey(line.item)}`
  const makerKey = partNumberKey(file.model.maker)
  for (let count = (tried.get(plain) ?? 0) + 1; ; count++) {
    const number = count === 1 ? plain : `${plain}-${count}`
    if (taken.has(`${makerKey}/${partNumberKey(number)}`)) continue
    tried.set(plain, count)
    return number
  }
}
