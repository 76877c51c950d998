/** Field of a refusal that holds what somebody else wrote at `name`, word for word. */
export function theirsOf(name: string): string {
  return `${name}.theirs`
}

/** Both texts, the earlier one first; one that the other contains already is not written twice. */
export function wordsTogether(theirs: string, mine: string): string {
  const [first, second] = [theirs.trim(), mine.trim()]
  if (first.includes(second)) return first
  if (second.includes(first)) return second
  return `${first}\n${second}`
}

/** Why a machine is marked unsafe when a job was opened for it. */
export function unsafeFor({ number, complaint }: { number: number; complaint: string }): string {
  return `job ${number}: ${complaint}`
}
