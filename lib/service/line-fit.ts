import { type SerialBreak, serialBreaksCover, serialBreaksSay } from '../catalogue/serial-break.ts'

/** A line of the figure under the item that a service names. */
export interface LineListed {
  breaks: readonly SerialBreak[]
  side: string | null
  stations: number | undefined
}

/**
 * Why a line of a service is not for this machine; null where it is. A serial number that nobody wrote down shuts nothing out, as
 * the figure itself shows all lines then.
 */
export function lineMissing(
  line: { item: string; positions: readonly string[] },
  listed: readonly LineListed[],
  serialNumber: string | null,
  codes: readonly string[],
): string | null {
  if (listed.length === 0) return `the figure no longer lists item ${line.item}`
  const here = listed.filter((one) => serialBreaksCover(one.breaks, serialNumber) !== 'not')
  if (here.length === 0)
    return `serial number ${serialNumber} is outside ${listed.map(({ breaks }) => serialBreaksSay(breaks)).join('; ')}`
  const sits = ({ side, stations }: LineListed) =>
    codes.length === 0 ||
    stations !== undefined ||
    codes.some(
      (code) => (side === null || side === code) && (line.positions.length === 0 || line.positions.includes(code)),
    )
  if (here.some(sits)) return null
  return line.positions.length === 0
    ? 'the figure has no position for it'
    : `this machine has none at ${line.positions.join(', ')}`
}
