interface Edge {
  figureId: number
  first: string
  then: string
}

/** Steps that jobs follow against the newest saved order of their figure: one that is missing, one that nobody saved. */
export function stripFaults(
  saved: ReadonlyMap<number, readonly Omit<Edge, 'figureId'>[]>,
  steps: readonly Edge[],
): string[] {
  const key = (figureId: number, { first, then }: Omit<Edge, 'figureId'>) => `${figureId}: ${first} before ${then}`
  const followed = new Set(steps.map((step) => key(step.figureId, step)))
  const wanted = new Set([...saved].flatMap(([figureId, edges]) => edges.map((edge) => key(figureId, edge))))
  return [
    ...[...wanted].filter((one) => !followed.has(one)).map((one) => `figure ${one} was saved and is not followed`),
    ...steps
      // A figure whose order came with its file and was never changed has no saved one.
      .filter((step) => saved.has(step.figureId) && !wanted.has(key(step.figureId, step)))
      .map((step) => `figure ${key(step.figureId, step)} is followed and was never saved`),
  ]
}
