/** A line of a count sheet that went out as a file. */
export interface SheetLineId {
  binId: number
  partId: number
  /** Number of the last movement when it went out. */
  asOf: number
  /** Number of the last count of the part in the bin, 0 where there was none: a sheet to count again has ids of its own. */
  lastCount: number
}

/** Digits and the dash between them as numbers of ten and more, as ISO 13616 does with letters. */
function remainder(text: string): number {
  let rest = 0
  for (const sign of text) rest = sign === '-' ? (rest * 100 + 10) % 97 : (rest * 10 + Number(sign)) % 97
  return rest
}

/** Two check digits by ISO/IEC 7064, MOD 97-10: each slip of one digit and each swap of two is found. Example: 794 has 44. */
export function checkDigits(text: string): string {
  return String(98 - remainder(`${text}00`)).padStart(2, '0')
}

/** Example: bin 12, part 345, opened at movement 9981, never counted. The letter keeps a spreadsheet from reading a date. */
export function sheetLineWrite({ binId, partId, asOf, lastCount }: SheetLineId): string {
  const text = `${binId}-${partId}-${asOf}-${lastCount}`
  return `C${text}-${checkDigits(text)}`
}

/** Null when it is no id of a line, or one that was typed wrong. */
export function sheetLineRead(id: string): SheetLineId | null {
  const [, text, binId, partId, asOf, lastCount, check] =
    /^C((\d{1,12})-(\d{1,12})-(\d{1,12})-(\d{1,12}))-(\d\d)$/i.exec(id.trim()) ?? []
  if (text === undefined || checkDigits(text) !== check) return null
  return { binId: Number(binId), partId: Number(partId), asOf: Number(asOf), lastCount: Number(lastCount) }
}
