import type { SerialBreak } from '../catalogue/serial-break.ts'

/** The serial ranges of a line as it is kept; none: every machine. */
export function lineRowBreaks(line: {
  serialFrom: string | null
  serialTo: string | null
  serialRanges: string | null
}): SerialBreak[] {
  if (line.serialRanges !== null) return JSON.parse(line.serialRanges) as SerialBreak[]
  if (line.serialFrom === null && line.serialTo === null) return []
  return [{ from: line.serialFrom, to: line.serialTo }]
}
