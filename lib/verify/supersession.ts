interface Link {
  oldPartId: number
  newPartId: number
}

/** Loops among "is replaced by" links, each named once, over every branch (a part may be replaced by several). */
export function supersessionFaults(links: readonly Link[]): string[] {
  const next = new Map<number, number[]>()
  for (const { oldPartId, newPartId } of links) next.set(oldPartId, [...(next.get(oldPartId) ?? []), newPartId])
  const done = new Set<number>()
  const faults: string[] = []
  for (const start of next.keys()) {
    // A walk with its own stack: a chain of ten thousand parts must not end in a stack overflow.
    const path: number[] = []
    const onPath = new Set<number>()
    const stack: { part: number; leave: boolean }[] = [{ part: start, leave: false }]
    for (let step = stack.pop(); step; step = stack.pop()) {
      if (step.leave) {
        path.pop()
        onPath.delete(step.part)
        done.add(step.part)
      } else if (onPath.has(step.part)) {
        faults.push(`loop of parts: ${[...path.slice(path.indexOf(step.part)), step.part].join(' -> ')}`)
      } else if (!done.has(step.part)) {
        path.push(step.part)
        onPath.add(step.part)
        stack.push({ part: step.part, leave: true })
        for (const part of next.get(step.part) ?? []) stack.push({ part, leave: false })
      }
    }
  }
  return faults
}
