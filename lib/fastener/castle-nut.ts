import table from './castle-nut.json'

export interface CastleNutSize {
  threadMm: number
  splitPinMm: number
  splitPinLengthMm: number
  slotMmMin: number
  slotMmMax: number
}

export const CASTLE_NUT_STANDARD = 'DIN 935-1'

/** Split pin (size x length) and slot of a castle or slotted nut by thread diameter in mm; null where the table has none. */
export function castleNutSplitPin(threadMm: number): CastleNutSize | null {
  return table.sizes.find((row) => row.threadMm === threadMm) ?? null
}
