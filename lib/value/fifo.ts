import { movesWithin } from './moving-average.ts'

/** What the arithmetic needs of a movement, in the order of the ledger. */
export interface FifoFact {
  id: number
  kind: string
  /** Signed minor units. */
  quantity: number
  /** Of one stock unit, money minor units; null where nobody said. */
  costMinor: number | null
  /** What the ledger added at moving average cost: stands in where there is no cost. */
  valueMinor: number
  reversesId: number | null
}

/** Pieces that came in together and are still there. */
export interface Layer {
  quantity: number
  valueMinor: number
}

interface Came {
  came: number
  left: number
  valueMinor: number
}

/**
 * What lies there by first in, first out (IAS 2.25-27; Wild, Principles of Accounting, ch. 5), oldest first: each taking uses up
 * the oldest layer. A movement and its reversal are as if neither had been; moving from bin to bin makes no layer. `scale` is
 * the minor units of one stock unit. Of a layer begun, the rest is worth its share, half a minor unit rounded up.
 */
export function fifoLayers(movements: readonly FifoFact[], scale: number): Layer[] {
  const reversed = new Set(movements.flatMap((move) => (move.reversesId === null ? [] : [move.reversesId])))
  const layers: Came[] = []
  // Takings that stand before their delivery once a mistake is left out are met by the next one.
  let owed = 0
  for (const move of movements) {
    if (movesWithin(move.kind) || move.reversesId !== null || reversed.has(move.id)) continue
    if (move.quantity > 0) {
      const met = Math.min(owed, move.quantity)
      owed -= met
      layers.push({ came: move.quantity, left: move.quantity - met, valueMinor: layerValue(move, scale) })
    } else owed += eaten(layers, -move.quantity)
  }
  return layers
    .filter((layer) => layer.left > 0)
    .map(({ came, left, valueMinor }) => ({ quantity: left, valueMinor: shareHalfUp(left, valueMinor, came) }))
}

/** Takes from the oldest layers; answers what they could not give. */
function eaten(layers: readonly Came[], quantity: number): number {
  let wanted = quantity
  for (const layer of layers) {
    const taken = Math.min(wanted, layer.left)
    layer.left -= taken
    wanted -= taken
    if (wanted === 0) break
  }
  return wanted
}

function layerValue({ quantity, costMinor, valueMinor }: FifoFact, scale: number): number {
  return costMinor === null ? Math.max(0, valueMinor) : shareHalfUp(quantity, costMinor, scale)
}

function shareHalfUp(times: number, value: number, of: number): number {
  return Number((2n * BigInt(times) * BigInt(value) + BigInt(of)) / (2n * BigInt(of)))
}
