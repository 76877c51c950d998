import type { GreyPage } from './schema.ts'

/** Longer side of the page the drawing is read at, pixels: about 190 dpi on A4. */
export const READING_SIDE = 2200

/** The page enlarged or made smaller for reading, and by how much. Small scans are enlarged at most 2.2 times. */
export function pageScaled(page: GreyPage): { page: GreyPage; scale: number } {
  const scale = Math.min(2.2, READING_SIDE / Math.max(page.width, page.height))
  if (Math.abs(scale - 1) < 0.15) return { page, scale: 1 }
  const width = Math.round(page.width * scale)
  const height = Math.round(page.height * scale)
  return { page: scale < 1 ? pageShrunk(page, width, height) : pageEnlarged(page, width, height), scale }
}

/** Mean of the source pixels under each pixel, by area, first along rows and then down the columns. */
function pageShrunk(page: GreyPage, width: number, height: number): GreyPage {
  const rows = new Float32Array(width * page.height)
  const across = sharesOf(page.width, width)
  for (let y = 0; y < page.height; y++)
    for (let x = 0; x < width; x++) {
      let sum = 0
      const first = y * page.width + across.first[x]!
      for (let on = across.begin[x]!, at = first; on < across.begin[x + 1]!; on++, at++)
        sum += page.data[at]! * across.share[on]!
      rows[y * width + x] = sum
    }
  const data = new Uint8Array(width * height)
  const down = sharesOf(page.height, height)
  const sums = new Float64Array(width)
  for (let y = 0; y < height; y++) {
    sums.fill(0)
    for (let on = down.begin[y]!, row = down.first[y]!; on < down.begin[y + 1]!; on++, row++)
      for (let x = 0; x < width; x++) sums[x]! += rows[row * width + x]! * down.share[on]!
    for (let x = 0; x < width; x++) data[y * width + x] = Math.round(sums[x]!)
  }
  return { width, height, data }
}

/** Of each pixel made: its first source pixel, and in `share` from `begin[n]` to before `begin[n + 1]` how much of each counts. */
interface Shares {
  first: Int32Array
  begin: Int32Array
  share: Float64Array
}

function sharesOf(from: number, to: number): Shares {
  const step = from / to
  const first = new Int32Array(to)
  const begin = new Int32Array(to + 1)
  const share: number[] = []
  for (let index = 0; index < to; index++) {
    first[index] = Math.floor(index * step)
    for (let at = first[index]!; at < Math.min(from, Math.ceil((index + 1) * step - 1e-9)); at++)
      share.push((Math.min(at + 1, (index + 1) * step) - Math.max(at, index * step)) / step)
    begin[index + 1] = share.length
  }
  return { first, begin, share: Float64Array.from(share) }
}

/** Between the four nearest pixels. */
function pageEnlarged(page: GreyPage, width: number, height: number): GreyPage {
  const data = new Uint8Array(width * height)
  const columns = nearestOf(page.width, width)
  const rows = nearestOf(page.height, height)
  for (let y = 0; y < height; y++) {
    const upperRow = rows.at[y]! * page.width
    const lowerRow = rows.next[y]! * page.width
    const fy = rows.share[y]!
    for (let x = 0; x < width; x++) {
      const left = columns.at[x]!
      const right = columns.next[x]!
      const fx = columns.share[x]!
      const upper = page.data[upperRow + left]! * (1 - fx) + page.data[upperRow + right]! * fx
      const lower = page.data[lowerRow + left]! * (1 - fx) + page.data[lowerRow + right]! * fx
      data[y * width + x] = Math.round(upper * (1 - fy) + lower * fy)
    }
  }
  return { width, height, data }
}

/** Of each pixel made: the two source pixels beside its place, and how much of the second counts. */
function nearestOf(from: number, to: number): { at: Int32Array; next: Int32Array; share: Float64Array } {
  const [at, next, share] = [new Int32Array(to), new Int32Array(to), new Float64Array(to)]
  for (let index = 0; index < to; index++) {
    const place = Math.min(from - 1, Math.max(0, ((index + 0.5) * from) / to - 0.5))
    at[index] = Math.floor(place)
    next[index] = Math.min(from - 1, at[index]! + 1)
    share[index] = place - at[index]!
  }
  return { at, next, share }
}
