import type { GreyPage } from './schema.ts'

/** Black and white page: 1 is ink; `data[y * width + x]`. */
export interface Ink {
  width: number
  height: number
  data: Uint8Array
}

/** Ink is darker than the mean of its surroundings by this share, and by so many grey levels at least. */
const DARKER = 0.15
const DARKER_LEVELS = 14

/**
 * Ink of a page by the local mean (Bradley and Roth 2007): grey paper, the shadow of a book's fold and tinted table rows
 * do not matter. Filled areas wider than the window come out as their outline only.
 */
export function pageInk({ width, height, data }: GreyPage): Ink {
  const radius = Math.max(10, Math.round(Math.min(width, height) / 70))
  const ink = new Uint8Array(width * height)
  const columns = new Uint32Array(width)
  let tall = 0
  for (let y = 0; y < Math.min(radius, height); y++, tall++)
    for (let x = 0; x < width; x++) columns[x]! += data[y * width + x]!
  for (let y = 0; y < height; y++) {
    const enter = y + radius
    if (enter < height) {
      for (let x = 0, at = enter * width; x < width; x++, at++) columns[x]! += data[at]!
      tall++
    }
    const leave = y - radius - 1
    if (leave >= 0) {
      for (let x = 0, at = leave * width; x < width; x++, at++) columns[x]! -= data[at]!
      tall--
    }
    inkRow(ink, data, columns, y * width, width, radius, tall)
  }
  return { width, height, data: ink }
}

function inkRow(
  ink: Uint8Array,
  data: Uint8Array,
  columns: Uint32Array,
  from: number,
  width: number,
  radius: number,
  tall: number,
): void {
  let sum = 0
  let wide = 0
  for (let x = 0; x < Math.min(radius, width); x++, wide++) sum += columns[x]!
  for (let x = 0; x < width; x++) {
    if (x + radius < width) {
      sum += columns[x + radius]!
      wide++
    }
    if (x - radius - 1 >= 0) {
      sum -= columns[x - radius - 1]!
      wide--
    }
    const mean = sum / (wide * tall)
    if (data[from + x]! < mean - Math.max(DARKER_LEVELS, DARKER * mean)) ink[from + x] = 1
  }
}
