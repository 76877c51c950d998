export interface KeyRow {
  /** What the row is called in a sentence: `part 12`. */
  what: string
  /** Rows are unique within this (a bin within its store); empty where they are unique everywhere. */
  within: string
  /** The key as kept, and as it is computed anew. */
  kept: string
  anew: string
}

/** Keys that are not what their text folds to, and two rows that a person would call the same. */
export function keyFaults(rows: readonly KeyRow[]): string[] {
  const first = new Map<string, string>()
  return rows.flatMap(({ what, within, kept, anew }) => {
    const faults = kept === anew ? [] : [`${what} is kept under the key ${kept}, its text says ${anew}`]
    const place = `${within}\n${anew}`
    const other = first.get(place)
    if (other) faults.push(`${what} and ${other} have the same name`)
    else first.set(place, what)
    return faults
  })
}
