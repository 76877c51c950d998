import type { z } from 'zod'
import { partNumberKey } from '../catalogue/part-number.ts'
import { quantityScale } from '../measure/quantity.ts'
import { isRefusal, Refusal } from '../refusal.ts'
import { shapeReason, shapeValue } from '../shape-reason.ts'
import { breakWarnings, orderItemFaults, row, serialBreakCheck, shaftEndsCheck } from './line-check.ts'
import { FigureFile } from './schema.ts'
import { itemKey, stripOrderCheckLines } from './strip-order.ts'

export interface FigureFileRead {
  file: FigureFile
  /** What a person should look at, though it stops nothing. */
  warnings: string[]
}

const FAULTS_MAX = 400

/**
 * Reads a figure file and checks that it agrees with itself. Refuses with 'import/refused' and names row, field and reason
 * of every fault, e.g. "line 3 (item 7), quantity: too small, it must be above 0"; shape first, then agreement.
 *
 * Warnings, because real parts books have them: a line that no callout points to (the assembly itself, a part hidden in the
 * view) stays; a callout whose item is not in the list cannot lead to a part and is left out. Items of callouts, attaching
 * parts and strip order come back spelled as the list spells them.
 */
export function figureFileCheck(json: unknown, name = 'the figure file'): FigureFileRead {
  const read = FigureFile.safeParse(json)
  if (!read.success) throw refused(name, shapeFaults(read.error.issues, json))
  const faults: string[] = []
  const warnings: string[] = []
  const file = spelledAsListed(read.data)
  checkKeys(file, faults)
  checkLines(file, faults, warnings)
  faults.push(...orderItemFaults(file.lines))
  checkPicture(file, faults)
  checkPositions(file, faults, warnings)
  checkStripOrder(file, faults)
  if (faults.length > 0) throw refused(name, faults)
  warnings.push(...breakWarnings(file))
  return { file: matched(file, warnings), warnings }
}

function refused(name: string, faults: readonly string[]): Refusal {
  const shown = faults.slice(0, FAULTS_MAX)
  if (faults.length > FAULTS_MAX) shown.push(`and ${faults.length - FAULTS_MAX} more`)
  return new Refusal('import/refused', { count: faults.length, file: name }, { faults: shown })
}

const ROWS: Record<string, string> = {
  lines: 'line',
  callouts: 'callout',
  stripOrder: 'strip order row',
  stripSteps: 'strip step',
  positions: 'position',
  tests: 'test',
}

function part(value: unknown, key: PropertyKey): unknown {
  return typeof value === 'object' && value !== null ? (value as Record<PropertyKey, unknown>)[key] : undefined
}

/** "line 3 (item 7), quantity" for the path lines.2.quantity; rows count from one, as a person counts. */
function placeOf(path: readonly PropertyKey[], json: unknown): string {
  const [list, index, ...field] = path
  const row = ROWS[String(list)]
  if (row === undefined || typeof index !== 'number') return path.map(String).join('.') || 'the file'
  const entry = part(part(json, String(list)), index)
  const label = part(entry, 'item') ?? part(entry, 'code')
  const named = typeof label === 'string' ? ` (${list === 'positions' ? '' : 'item '}${label.slice(0, 12)})` : ''
  return [`${row} ${index + 1}${named}`, field.map(String).join('.')].filter((text) => text !== '').join(', ')
}

function shapeFaults(issues: readonly z.core.$ZodIssue[], json: unknown): string[] {
  return issues.map((issue) => {
    const reason = shapeReason(issue, shapeValue(issue.path, json), 'a figure file')
    return `${placeOf(issue.path, json)}: ${reason}`
  })
}

function spelledAsListed(file: FigureFile): FigureFile {
  const spelling = new Map<string, string>()
  for (const { item } of file.lines) if (!spelling.has(itemKey(item))) spelling.set(itemKey(item), item)
  const spelled = (item: string) => spelling.get(itemKey(item)) ?? item
  return {
    ...file,
    callouts: file.callouts.map((callout) => ({ ...callout, item: spelled(callout.item) })),
    lines: file.lines.map((line) => ({
      ...line,
      item: spelled(line.item),
      ...(line.attaches === undefined ? {} : { attaches: spelled(line.attaches) }),
      ...(line.orderItem === undefined ? {} : { orderItem: spelled(line.orderItem) }),
    })),
    stripOrder: file.stripOrder.map(({ first, then }) => ({ first: spelled(first), then: spelled(then) })),
    stripSteps: file.stripSteps.map((step) => ({ ...step, item: spelled(step.item) })),
  }
}

function checkKeys(file: FigureFile, faults: string[]): void {
  const named: [string, string][] = [
    ['number', file.number],
    ['model.name', file.model.name],
    ['model.maker', file.model.maker],
  ]
  for (const [index, line] of file.lines.entries()) {
    if (line.partNumber !== undefined) named.push([`${row(index, line)}, partNumber`, line.partNumber])
    if (line.maker !== undefined) named.push([`${row(index, line)}, maker`, line.maker])
  }
  for (const [where, text] of named) {
    if (partNumberKey(text) === '') faults.push(`${where}: "${text}" has neither a letter nor a digit`)
  }
}

function checkLines(file: FigureFile, faults: string[], warnings: string[]): void {
  const items = new Set(file.lines.map((line) => itemKey(line.item)))
  const seen = new Map<string, number>()
  const units = new Map<string, { unit: string; index: number }>()
  for (const [index, line] of file.lines.entries()) {
    const where = row(index, line)
    const minor = line.quantity * quantityScale(line.unit)
    if (Math.abs(minor - Math.round(minor)) > 1e-6)
      faults.push(
        `${where}, quantity: ${line.quantity} is no whole number of the smallest unit of a part kept by ${line.unit}`,
      )
    if (line.attaches !== undefined) {
      if (!items.has(itemKey(line.attaches))) faults.push(`${where}, attaches: the list has no item ${line.attaches}`)
      else if (itemKey(line.attaches) === itemKey(line.item))
        faults.push(`${where}, attaches: an item cannot hold itself`)
    }
    serialBreakCheck(line, where, faults, warnings)
    shaftEndsCheck(line, where, faults, warnings)
    const same = JSON.stringify(line)
    const before = seen.get(same)
    if (before !== undefined) faults.push(`${where}: repeats line ${before + 1} word for word`)
    else seen.set(same, index)
    if (line.partNumber === undefined) continue
    const key = `${partNumberKey(line.maker ?? file.model.maker)}/${partNumberKey(line.partNumber)}`
    const known = units.get(key)
    if (known && known.unit !== line.unit)
      faults.push(
        `${where}, unit: ${line.partNumber} is kept by ${known.unit} in line ${known.index + 1}, here by ${line.unit}`,
      )
    else units.set(key, { unit: line.unit, index })
  }
}

function checkPicture(file: FigureFile, faults: string[]): void {
  const { width, height } = file.picture
  const outside = ({ x, y }: { x: number; y: number }) => x > width || y > height
  for (const [index, callout] of file.callouts.entries()) {
    const where = `callout ${index + 1} (item ${callout.item})`
    const size = `the picture of ${width} x ${height}`
    if (outside(callout)) faults.push(`${where}, x and y: ${callout.x}, ${callout.y} lies outside ${size}`)
    for (const [at, tip] of callout.tips.entries()) {
      if (outside(tip)) faults.push(`${where}, tip ${at + 1}: ${tip.x}, ${tip.y} lies outside ${size}`)
    }
  }
}

function checkPositions(file: FigureFile, faults: string[], warnings: string[]): void {
  const codes = new Map<string, number>()
  for (const [index, { code }] of file.positions.entries()) {
    const key = code.toUpperCase()
    const before = codes.get(key)
    if (before !== undefined)
      faults.push(`position ${index + 1} (${code}), code: position ${before + 1} has it already`)
    else codes.set(key, index)
  }
  for (const [index, { code, pairedWith }] of file.positions.entries()) {
    if (pairedWith === undefined) continue
    const where = `position ${index + 1} (${code}), pairedWith`
    const other = codes.get(pairedWith.toUpperCase())
    if (other === undefined) faults.push(`${where}: there is no position ${pairedWith}`)
    else if (other === index) faults.push(`${where}: a position is not paired with itself`)
    else if (file.positions[other]?.pairedWith?.toUpperCase() !== code.toUpperCase())
      warnings.push(`${where}: ${pairedWith} does not say that it is paired with ${code}`)
  }
}

function checkStripOrder(file: FigureFile, faults: string[]): void {
  const items = new Set(file.lines.map((line) => itemKey(line.item)))
  let whole = file.lines.every(
    ({ item, attaches }) =>
      attaches === undefined || (items.has(itemKey(attaches)) && itemKey(attaches) !== itemKey(item)),
  )
  for (const [index, edge] of file.stripOrder.entries()) {
    for (const field of ['first', 'then'] as const) {
      if (items.has(itemKey(edge[field]))) continue
      whole = false
      faults.push(`strip order row ${index + 1}, ${field}: the list has no item ${edge[field]}`)
    }
  }
  const steps = new Map<string, number>()
  for (const [index, { item }] of file.stripSteps.entries()) {
    if (!items.has(itemKey(item))) faults.push(`strip step ${index + 1}, item: the list has no item ${item}`)
    const before = steps.get(itemKey(item))
    if (before !== undefined)
      faults.push(`strip step ${index + 1} (item ${item}): strip step ${before + 1} has it already`)
    else steps.set(itemKey(item), index)
  }
  if (!whole) return
  try {
    stripOrderCheckLines(file.stripOrder, file.lines)
  } catch (error) {
    if (!isRefusal(error)) throw error
    faults.push(`strip order: ${error.happened}`)
  }
}

function matched(file: FigureFile, warnings: string[]): FigureFile {
  const listed = new Set(file.lines.map((line) => itemKey(line.item)))
  const called = new Set(file.callouts.map((callout) => itemKey(callout.item)))
  for (const item of new Set(file.callouts.map((callout) => callout.item))) {
    if (!listed.has(itemKey(item))) warnings.push(`callout ${item}: the list has no such item; the callout is left out`)
  }
  for (const item of new Set(file.lines.map((line) => line.item))) {
    if (!called.has(itemKey(item))) warnings.push(`item ${item}: no callout points to it; it is in the list only`)
  }
  return { ...file, callouts: file.callouts.filter((callout) => listed.has(itemKey(callout.item))) }
}
