/**
 * Serial breaks: from which serial number up to which a parts list line applies. Serial numbers are compared as the trade
 * reads them: letters as letters, runs of digits as numbers, so TB999 comes before TB1500.
 */
export interface SerialBreak {
  from: string | null
  to: string | null
}

/** applies, does not apply, or cannot be told (no serial number on file, or one of another kind than the break's). */
export type SerialBreakAnswer = 'applies' | 'not' | 'unknown'

/** A serial number as its runs of letters and of digits: "tb-0950" is TB, 0950. Separators say nothing. */
export function serialRuns(serial: string): string[] {
  return (
    serial
      .normalize('NFKC')
      .toUpperCase()
      .match(/\d+|\p{L}+/gu) ?? []
  )
}

/** Same letters in the same places: only then does "before" and "after" mean anything. */
function comparable(a: string[], b: string[]): boolean {
  return a.length === b.length && a.every((run, at) => (/^\d/.test(run) ? /^\d/.test(b[at]!) : run === b[at]))
}

/**
 * Negative, zero or positive as `a` lies before, at or after `b`; null when the two are not of one kind (other prefix,
 * other make-up). Example: serialCompare('TB999', 'TB1500') is negative.
 */
export function serialCompare(a: string, b: string): number | null {
  const left = serialRuns(a)
  const right = serialRuns(b)
  if (left.length === 0 || !comparable(left, right)) return null
  for (const [at, run] of left.entries()) {
    if (!/^\d/.test(run)) continue
    const difference = BigInt(run) - BigInt(right[at]!)
    if (difference !== 0n) return difference < 0n ? -1 : 1
  }
  return 0
}

/** Whether the break covers the serial number; both ends belong to it. A line without a break applies to every machine. */
export function serialBreakCovers(breakAt: SerialBreak, serial: string | null): SerialBreakAnswer {
  if (breakAt.from === null && breakAt.to === null) return 'applies'
  if (serial === null || serial.trim() === '') return 'unknown'
  let answer: SerialBreakAnswer = 'applies'
  if (breakAt.from !== null) {
    const order = serialCompare(serial, breakAt.from)
    if (order === null) answer = 'unknown'
    else if (order < 0) return 'not'
  }
  if (breakAt.to !== null) {
    const order = serialCompare(serial, breakAt.to)
    if (order === null) answer = 'unknown'
    else if (order > 0) return 'not'
  }
  return answer
}

/**
 * The same for a line with several ranges (A100 to A250, from B001): one that covers the number is enough. The prefix letters
 * name a series, so where some range is of the number's own series the ranges of other series say nothing about it.
 */
export function serialBreaksCover(breaks: readonly SerialBreak[], serial: string | null): SerialBreakAnswer {
  if (breaks.length === 0) return 'applies'
  const answers = breaks.map((one) => serialBreakCovers(one, serial))
  if (answers.includes('applies')) return 'applies'
  return answers.includes('not') ? 'not' : 'unknown'
}

/** As the parts list prints several: "S/N A100 to A250, from B001". */
export function serialBreaksSay(breaks: readonly SerialBreak[]): string {
  const said = breaks.map(serialBreakSays).filter((text) => text !== '')
  return said.map((text, at) => (at === 0 ? text : text.replace(/^S\/N /, ''))).join(', ')
}

/** As the parts list prints it: "from 1500", "up to 1499", "1500 to 1999"; empty without a break. */
export function serialBreakSays(breakAt: SerialBreak): string {
  if (breakAt.from !== null && breakAt.from === breakAt.to) return `S/N ${breakAt.from} only`
  if (breakAt.from !== null && breakAt.to !== null) return `S/N ${breakAt.from} to ${breakAt.to}`
  if (breakAt.from !== null) return `S/N from ${breakAt.from}`
  if (breakAt.to !== null) return `S/N up to ${breakAt.to}`
  return ''
}
