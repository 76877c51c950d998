/** Figures whose tests are not those of the newest list that somebody saved: a machine would be released by another one. */
export function testFaults(
  saved: ReadonlyMap<number, string>,
  figures: readonly { id: number; tests: string }[],
): string[] {
  return figures
    .filter(({ id, tests }) => saved.has(id) && saved.get(id) !== tests)
    .map(({ id }) => `figure ${id}: its tests are not the list that was saved last`)
}
