import { type Blob, blobsOf } from './blobs.ts'

/** A mark this small beside the letters is a full stop, the dot of an i, or dirt; pixels, and a share of the letters' height. */
const SMALL_PIXELS = 2
const SMALL_SHARE = 0.28
/** A mark that belongs to a letter stands so near to one, as shares of the letters' height. */
const NEAR_BESIDE = 0.4
const NEAR_ABOVE = 0.5
const NEAR_BELOW = 0.3
/** Letters are at least so high, pixels. */
const LETTER_MIN = 5

/**
 * Takes the specks of a worn copy out of the ink of a cell: small marks that stand by no letter. Left in, one of them makes a
 * line of its own, or makes a short number as wide as a word.
 */
export function dustTaken(data: Uint8Array, width: number, height: number): void {
  const { list, labels } = blobsOf({ width, height, data })
  const tall = usualHeight(list)
  if (tall === null) return
  const most = Math.max(SMALL_PIXELS, SMALL_SHARE * tall)
  const isSmall = ({ box }: Blob) => Math.max(box[2] - box[0], box[3] - box[1]) <= most
  const letters = list.filter((blob) => !isSmall(blob))
  const gone = new Set<number>()
  for (const [at, blob] of list.entries())
    if (isSmall(blob) && !letters.some((one) => isBy(one, blob, tall))) gone.add(at)
  if (gone.size === 0) return
  for (let at = 0; at < data.length; at++) if (labels[at]! >= 0 && gone.has(labels[at]!)) data[at] = 0
}

/** Height of most letters; null where nothing is as high as one. */
function usualHeight(list: readonly Blob[]): number | null {
  const heights = list.map(({ box }) => box[3] - box[1]).filter((height) => height >= LETTER_MIN)
  return heights.length === 0 ? null : heights.sort((a, b) => a - b)[heights.length >> 1]!
}

function isBy({ box: letter }: Blob, { box: mark }: Blob, tall: number): boolean {
  const beside = Math.max(mark[0] - letter[2], letter[0] - mark[2])
  const above = letter[1] - mark[3]
  const below = mark[1] - letter[3]
  return beside <= NEAR_BESIDE * tall && above <= NEAR_ABOVE * tall && below <= NEAR_BELOW * tall
}
