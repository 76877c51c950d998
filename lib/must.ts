/**
 * An invariant that must hold whatever anybody types. A broken one is a fault of the program, never an answer to a person:
 * it stops the work, and the transaction around it rolls back.
 */
export function must(condition: unknown, sentence: string): asserts condition {
  if (!condition) throw new Error(`Broken invariant: ${sentence}`)
}
