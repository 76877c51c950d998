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
  const { width, data } = ink
  const { from, to, row, count } = runsOf(ink)
  const parent = new Int32Array(count)
  for (let at = 0; at < count; at++) parent[at] = at
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
  // `over`: the first run of the row above that may still touch.
  let over = 0
  for (let at = 0; at < count; at++) {
    while (over < at && (row[over]! < row[at]! - 1 || (row[over]! === row[at]! - 1 && to[over]! < from[at]!))) over += 1
    for (let other = over; other < at && row[other]! === row[at]! - 1 && from[other]! <= to[at]!; other++) {
      const [a, b] = [root(at), root(other)]
      if (a !== b) parent[Math.max(a, b)] = Math.min(a, b)
    }
  }
  const number = new Int32Array(count).fill(-1)
  const list: Blob[] = []
  const labels = new Int32Array(data.length).fill(-1)
  for (let at = 0; at < count; at++) {
    const top = root(at)
    const [left, right, y] = [from[at]!, to[at]!, row[at]!]
    if (number[top] === -1) {
      number[top] = list.length
      list.push({ box: [left, y, right, y + 1], area: 0 })
    }
    const own = number[top]!
    const blob = list[own]!
    blob.area += right - left
    blob.box[0] = Math.min(blob.box[0], left)
    blob.box[2] = Math.max(blob.box[2], right)
    blob.box[3] = y + 1
    for (let to = y * width + left; to < y * width + right; to++) labels[to] = own
  }
  return { list, labels }
}

/** Runs of ink in the rows of a page, from the top left: `to` is the first pixel behind. */
interface Runs {
  row: Int32Array
  from: Int32Array
  to: Int32Array
  count: number
}

function runsOf({ width, height, data }: InkPage): Runs {
  let count = 0
  for (let at = 0; at < data.length; at++) if (data[at] === 1 && (at % width === 0 || data[at - 1] === 0)) count += 1
  const runs: Runs = { row: new Int32Array(count), from: new Int32Array(count), to: new Int32Array(count), count }
  let at = 0
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      if (data[y * width + x] === 0) continue
      runs.row[at] = y
      runs.from[at] = x
      while (x < width && data[y * width + x] === 1) x += 1
      runs.to[at] = x
      at += 1
    }
  return runs
}
