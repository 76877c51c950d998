import { breakReport, breakReportSays } from '../catalogue/break-report.ts'
import { type SerialBreak, serialCompare } from '../catalogue/serial-break.ts'
import { serialRangesParse } from '../catalogue/serial-ranges.ts'
import { orderedLine } from './order-item.ts'
import type { FigureFile, PartsListLineFile } from './schema.ts'
import { itemKey } from './strip-order.ts'

/** "line 3 (item 7)": where a fault stands, rows counted from one. */
export function row(index: number, line: { item: string }): string {
  return `line ${index + 1} (item ${line.item})`
}

/** The serial ranges of a line that passed its check; none: every machine. */
export function lineBreaks(line: Pick<PartsListLineFile, 'serialFrom' | 'serialTo' | 'serials'>): SerialBreak[] {
  if (line.serials !== undefined) {
    const ranges = serialRangesParse(line.serials)
    return typeof ranges === 'string' ? [] : ranges
  }
  if (line.serialFrom === undefined && line.serialTo === undefined) return []
  return [{ from: line.serialFrom ?? null, to: line.serialTo ?? null }]
}

export function serialBreakCheck(line: PartsListLineFile, where: string, faults: string[], warnings: string[]): void {
  if (line.serials !== undefined) {
    if (line.serialFrom !== undefined || line.serialTo !== undefined)
      faults.push(`${where}, serials: the line has serialFrom or serialTo as well; keep one of the two`)
    const ranges = serialRangesParse(line.serials)
    if (typeof ranges === 'string') faults.push(`${where}, serials: ${ranges}`)
    return
  }
  if (line.serialFrom === undefined || line.serialTo === undefined) return
  const order = serialCompare(line.serialFrom, line.serialTo)
  if (order === null)
    warnings.push(`${where}: serial numbers ${line.serialFrom} and ${line.serialTo} are not of one kind`)
  else if (order > 0) faults.push(`${where}, serialTo: ${line.serialTo} lies before serialFrom ${line.serialFrom}`)
}

/** Ends of a shaft at which a line sits: each once, and none for what stands round the rotor. */
export function shaftEndsCheck(line: PartsListLineFile, where: string, faults: string[], warnings: string[]): void {
  const { ends, stations } = line.facts
  if (ends === undefined) return
  if (new Set(ends).size < ends.length) faults.push(`${where}, facts.ends: names one end twice`)
  if (stations !== undefined)
    faults.push(`${where}, facts.ends: it has stations too; what stands round the rotor has no end`)
  if (ends.length === 2 && line.unit === 'each' && line.quantity % 2 !== 0)
    warnings.push(`${where}: ${line.quantity} over two ends; the larger half is counted at each of them`)
}

/** Lines that are not sold separately must lead to one that is. */
export function orderItemFaults(lines: readonly PartsListLineFile[]): string[] {
  const items = new Set(lines.map((line) => itemKey(line.item)))
  return lines.flatMap((line, index) => {
    if (line.orderItem === undefined) return []
    const where = `${row(index, line)}, orderItem`
    if (!items.has(itemKey(line.orderItem))) return [`${where}: the list has no item ${line.orderItem}`]
    if (itemKey(line.orderItem) === itemKey(line.item)) return [`${where}: an item is not ordered as itself`]
    if (orderedLine(lines, line) === null)
      return [`${where}: it leads back to itself, so nothing on its way can be ordered`]
    return []
  })
}

/** Serial numbers that get no part or two of one item. */
export function breakWarnings(file: FigureFile): string[] {
  const lines = file.lines.map((line) => ({
    item: line.item,
    partNumber: line.partNumber ?? line.description,
    ...(line.side === undefined ? {} : { side: line.side }),
    breaks: lineBreaks(line),
  }))
  return breakReportSays(breakReport(lines))
}
