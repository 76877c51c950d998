import type { InkPage } from './ink.ts'
import type { PageBox } from './schema.ts'

/** Ink that hangs together (eight neighbours). */
export interface Blob {
  box: PageBox
  /** Pixels of ink. */
  area: number
}

export interface Blobs {
  list: Blob[]
  /** Number of the blob at each pixel, -1 on paper. */
  labels: Int32Array
}

/** Every piece of ink that hangs together, by runs of each row joined to those above (union and find). */
export function blobsOf(ink: InkPage): Blobs {
  const { width, height, data } = ink
  const parent: number[] = []
  const runs: [row: number, from: number, to: number][] = []
  const root = (at: number): number => {
    let top = at
    while (parent[top] !== top) top = parent[top]!
    for (let on = at; on !== top; ) {
      const next = parent[on]!
      parent[on] = top
      on = next
    }
    return top
  }
  let above = 0
  for (let y = 0; y < height; y++) {
    const start = runs.length
    let over = above
    for (let x = 0; x < width; x++) {
      if (data[y * width + x] === 0) continue
      const from = x
      while (x < width && data[y * width + x] === 1) x += 1
      const self = runs.length
      runs.push([y, from, x])
      parent.push(self)
      while (over < start && runs[over]![2] < from) over += 1
      for (let other = over; other < start && runs[other]![1] <= x; other++) {
        const [a, b] = [root(self), root(other)]
        if (a !== b) parent[Math.max(a, b)] = Math.min(a, b)
      }
    }
    above = start
  }
  const numbers = new Map<number, number>()
  const list: Blob[] = []
  const labels = new Int32Array(data.length).fill(-1)
  for (const [index, [y, from, to]] of runs.entries()) {
    const top = root(index)
    let number = numbers.get(top)
    if (number === undefined) {
      number = list.length
      numbers.set(top, number)
      list.push({ box: [from, y, to, y + 1], area: 0 })
    }
    const blob = list[number]!
    blob.area += to - from
    blob.box[0] = Math.min(blob.box[0], from)
    blob.box[2] = Math.max(blob.box[2], to)
    blob.box[3] = y + 1
    labels.fill(number, y * width + from, y * width + to)
  }
  return { list, labels }
}
