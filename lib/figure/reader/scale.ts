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
      for (const [from, share] of across[x]!) sum += page.data[y * page.width + from]! * share
      rows[y * width + x] = sum
    }
  const data = new Uint8Array(width * height)
  const down = sharesOf(page.height, height)
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      let sum = 0
      for (const [from, share] of down[y]!) sum += rows[from * width + x]! * share
      data[y * width + x] = Math.round(sum)
    }
  return { width, height, data }
}

function sharesOf(from: number, to: number): [at: number, share: number][][] {
  const step = from / to
  return Array.from({ length: to }, (_, index) => {
    const shares: [number, number][] = []
    for (let at = Math.floor(index * step); at < Math.min(from, Math.ceil((index + 1) * step - 1e-9)); at++)
      shares.push([at, (Math.min(at + 1, (index + 1) * step) - Math.max(at, index * step)) / step])
    return shares
  })
}

/** Between the four nearest pixels. */
function pageEnlarged(page: GreyPage, width: number, height: number): GreyPage {
  const data = new Uint8Array(width * height)
  const columns = nearestOf(page.width, width)
  const rows = nearestOf(page.height, height)
  for (let y = 0; y < height; y++) {
    const [row, nextRow, fy] = rows[y]!
    for (let x = 0; x < width; x++) {
      const [column, nextColumn, fx] = columns[x]!
      const upper = page.data[row * page.width + column]! * (1 - fx) + page.data[row * page.width + nextColumn]! * fx
      const lower =
        page.data[nextRow * page.width + column]! * (1 - fx) + page.data[nextRow * page.width + nextColumn]! * fx
      data[y * width + x] = Math.round(upper * (1 - fy) + lower * fy)
    }
  }
  return { width, height, data }
}

function nearestOf(from: number, to: number): [at: number, next: number, share: number][] {
  return Array.from({ length: to }, (_, index) => {
    const place = Math.min(from - 1, Math.max(0, ((index + 0.5) * from) / to - 0.5))
    const at = Math.floor(place)
    return [at, Math.min(from - 1, at + 1), place - at]
  })
}
