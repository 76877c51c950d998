import { partNumberKey } from '../catalogue/part-number.ts'
import { counted } from '../measure/counted.ts'
import { Refusal } from '../refusal.ts'
import { columnsOf, KINDS, type Kind } from './columns.ts'

/** Which header stands for which column, as a person said it; an empty header leaves the column out. */
export type ByHand = Readonly<Record<string, string>>

export interface Matched {
  /** Column name to place in the row. */
  places: ReadonlyMap<string, number>
  /** Headers that stand for no column: what lies under them is not brought in. */
  unused: string[]
}

/** Headers that are one word for the trade: no case, spaces or signs; `#` is read as number. */
const headerKey = (header: string) => partNumberKey(header.replace(/#/g, ' no '))

/** Columns by header, first those that bear the column's own name, then the words people use for it. */
function byWords(kind: Kind, keys: readonly string[], taken: Set<number>, places: Map<string, number>): void {
  const named = columnsOf(kind).map(([name, column]) => [name, [name], column.words] as const)
  for (const rank of [1, 2] as const) {
    for (const [name, ...words] of named) {
      if (places.has(name)) continue
      for (const word of words[rank - 1] ?? []) {
        const at = keys.findIndex((key, place) => key === headerKey(word) && !taken.has(place))
        if (at < 0) continue
        places.set(name, at)
        taken.add(at)
        break
      }
    }
  }
}

/** The match as far as it goes, for a screen to show and a person to mend; nothing is refused. */
export function columnsGuess(kind: Kind, header: readonly string[], byHand: ByHand = {}): Matched {
  const keys = header.map(headerKey)
  const taken = new Set<number>()
  const places = new Map<string, number>()
  const left = new Set<string>()
  for (const [name, wanted] of Object.entries(byHand)) {
    const exact = header.findIndex((one) => one.trim() === wanted.trim())
    const at = exact >= 0 ? exact : keys.indexOf(headerKey(wanted))
    if (wanted.trim() === '') left.add(name)
    else if (at >= 0) {
      places.set(name, at)
      taken.add(at)
    }
  }
  const guessed = new Map(places)
  for (const name of left) guessed.set(name, -1)
  byWords(kind, keys, taken, guessed)
  for (const name of left) guessed.delete(name)
  return { places: guessed, unused: header.filter((one, at) => !taken.has(at) && one.trim() !== '') }
}

/**
 * Which column of the file is which of ours. Refuses with 'exchange/columns' and every fault: a column or header named by hand
 * that does not exist, a header that stands twice, a required column that is missing.
 */
export function columnsMatch(kind: Kind, header: readonly string[], byHand: ByHand, file: string): Matched {
  const faults: string[] = []
  const known = new Map(columnsOf(kind))
  const shown = header.filter((one) => one.trim() !== '').slice(0, 40)
  const keys = header.map(headerKey)
  for (const [name, wanted] of Object.entries(byHand)) {
    if (!known.has(name)) faults.push(`${KINDS[kind].title} have no column ${name}`)
    else if (wanted.trim() !== '' && !keys.includes(headerKey(wanted)) && !shown.includes(wanted))
      faults.push(`${name}: the file has no header "${wanted}"; it has ${shown.join(', ')}`)
  }
  const matched = columnsGuess(kind, header, byHand)
  for (const [name, at] of matched.places) {
    const key = keys[at]
    if (key !== '' && keys.indexOf(key!) !== keys.lastIndexOf(key!) && byHand[name] === undefined)
      faults.push(`${name}: the header "${header[at]}" stands twice`)
  }
  for (const [name, column] of known) {
    if (column.required && !matched.places.has(name))
      faults.push(`${name} is missing (${column.says}); the file has ${shown.join(', ')}`)
  }
  const why = faults.length === 1 ? faults[0]! : counted(faults.length, 'fault')
  if (faults.length > 0) throw new Refusal('exchange/columns', { file, why }, { faults })
  return matched
}
