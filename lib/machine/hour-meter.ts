/** Hours of a machine's meter are kept in whole tenths, as most meters show them. */
export function hoursFormat(hourTenths: number): string {
  return `${(hourTenths / 10).toLocaleString('en-GB', { minimumFractionDigits: 1, maximumFractionDigits: 1 })} h`
}

/** Reads "1234", "1234.5", "1234,5" as tenths; null when it is no reading of a meter (more than one decimal, negative). */
export function hoursParse(text: string): number | null {
  const match = /^\s*(\d{1,6})(?:[.,](\d))?\s*$/.exec(text)
  return match ? Number(match[1]) * 10 + Number(match[2] ?? '0') : null
}
